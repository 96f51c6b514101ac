import { readFileSync } from 'node:fs';

/**
 * Reads a table of datasets/reference: lines that start with # are its source, then the columns' names, then
 * one line for each entry.
 *
 * @param name - file name, such as clausing.csv
 * @returns the cells of each line by their column's name, as text
 */
export function referenceTable(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../datasets/reference/${name}`, import.meta.url), 'utf8');
  const [header, ...lines] = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  const names = header.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((column, i) => [column, cells[i]]));
  });
}
