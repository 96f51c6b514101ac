import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const PACKAGES = join(import.meta.dirname, '../packages');
/** What one person can still hold in mind: a requirement, not a standard. */
const MOST_LINES = 6500;
const SOURCE = /\.(ts|tsx|mjs|css)$/;
const TEST = /\.test\.tsx?$/;
const NOT_OURS = ['node_modules', 'dist'];

function sourcesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return NOT_OURS.includes(entry.name) ? [] : sourcesIn(path);
    return SOURCE.test(entry.name) && !TEST.test(entry.name) ? [path] : [];
  });
}

/** Lines of a package's sources, styles and made-up data for tests included, tests left out. */
function linesOf(name: string): number {
  const lines = sourcesIn(join(PACKAGES, name)).map(
    (path) => readFileSync(path, 'utf8').split('\n').length - 1,
  );
  return lines.reduce((sum, count) => sum + count, 0);
}

const table = readdirSync(PACKAGES).map((name) => [name, linesOf(name)] as const);

test.each(table)('%s has %i lines, no more than one can keep in mind', (_, lines) => {
  expect(lines).toBeGreaterThan(0);
  expect(lines).toBeLessThanOrEqual(MOST_LINES);
});
