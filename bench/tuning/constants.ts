import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

/** Packages that draw conclusions from cells' light; `measure` calls the others. */
export const VARIED_PACKAGES = ['consistency', 'resolving', 'measure'];

/** One number of a tuning file. */
export interface TunedNumber {
  /** Folder of the file under packages, such as `measure/pointing`. */
  readonly folder: string;
  /** Name, with the field where the number is part of an object or list. */
  readonly name: string;
  readonly value: number;
  /** What the file says of it, on one line. */
  readonly about: string;
  /** The compiled file. */
  readonly url: string;
}

function tuningFiles(packages: string): string[] {
  return readdirSync(packages).flatMap((name) =>
    readdirSync(join(packages, name, 'src'), { recursive: true, encoding: 'utf8' })
      .filter((path) => /(^|[/\\])tuning\.ts$/.test(path))
      .map((path) => join(packages, name, 'src', path)),
  );
}

/** Text of the comment that stands before a name in a source, on one line; empty where there is none. */
function commentBefore(source: string, name: string): string {
  const at = source.search(new RegExp(`^\\s*(export const )?${name}\\b\\s*[:=]`, 'm'));
  const before = source.slice(0, Math.max(0, at)).trimEnd();
  if (!before.endsWith('*/')) return '';
  return before
    .slice(before.lastIndexOf('/**') + 3, -2)
    .replace(/\n\s*\*/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}

function numbersIn(value: unknown, name: string): { name: string; value: number }[] {
  if (typeof value === 'number') return [{ name, value }];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => numbersIn(inner, `${name}.${key}`));
}

/** All numbers of all tuning files, as compiled. @param packages - the folder of that name */
export async function tunedNumbers(packages: string): Promise<TunedNumber[]> {
  const found: TunedNumber[] = [];
  for (const file of tuningFiles(packages)) {
    const source = readFileSync(file, 'utf8');
    const url = pathToFileURL(file.replace(/([/\\])src([/\\])/, '$1dist$2').replace(/ts$/, 'js')).href;
    const folder = file
      .slice(packages.length + 1)
      .replace(/([/\\])src[/\\]/, '/')
      .replace(/[/\\]?tuning\.ts$/, '')
      .replaceAll('\\', '/');
    for (const [name, value] of Object.entries(await import(url))) {
      for (const one of numbersIn(value, name)) {
        const field = one.name.split('.').find((part, n) => n > 0 && !/^\d+$/.test(part));
        const about = [commentBefore(source, name), field ? commentBefore(source, field) : ''];
        found.push({ folder, ...one, about: about.filter((text) => text !== '').join(' '), url });
      }
    }
  }
  return found;
}
