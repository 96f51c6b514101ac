import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Change } from './change.js';
import type { TunedFolder } from './numbers.js';

/** A number that makes a search endless is noticed too. */
const LONGEST_MS = 240_000;

/** Paths of the files that a source imports from its own package, with the ending .ts. */
function importsOf(path: string, source: string): string[] {
  return [...source.matchAll(/from '(\.[^']*)\.js'/g)].map(([, to]) => `${join(dirname(path), to)}.ts`);
}

/** Test files that come to the files in which a number is used, by the imports within its package. */
function testsOf({ file }: TunedFolder, name: string): string[] {
  const folder = file.replace(/([/\\]src)[/\\].*$/, '$1');
  const sources = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts'))
    .map((path) => join(folder, path))
    .map((path) => ({ path, source: readFileSync(path, 'utf8') }));
  const words = name.split('.').map((part) => new RegExp(`\\b${part}\\b`));
  const users = sources.filter(
    ({ path, source }) => importsOf(path, source).includes(file) && words.every((word) => word.test(source)),
  );
  const reached = new Set(users.map(({ path }) => path));
  for (const user of reached)
    for (const { path, source } of sources) if (importsOf(path, source).includes(user)) reached.add(path);
  return [...reached].filter((path) => path.endsWith('.test.ts'));
}

/**
 * The first test file that fails with a number changed; '' where none does, or no test asks the files that use it.
 *
 * @param root - of the checkout
 */
export function testNoticing(root: string, folder: TunedFolder, { name, by }: Change): string {
  const tests = testsOf(folder, name);
  if (tests.length === 0) return '';
  const { stdout, stderr, error } = spawnSync(
    'npx',
    [
      'vitest',
      'run',
      '--config',
      'bench/tuning/vitest.config.ts',
      '--bail',
      '1',
      '--reporter',
      'json',
      ...tests,
    ],
    {
      cwd: root,
      env: { ...process.env, TUNED_FILE: folder.file, TUNED_NAME: name, TUNED_BY: String(by), NO_COLOR: '1' },
      encoding: 'utf8',
      maxBuffer: 2 ** 28,
      timeout: LONGEST_MS,
    },
  );
  if (error) return 'a test without end';
  const at = stdout.indexOf('{"');
  if (at < 0) throw new Error(`no test ran with ${name} changed:\n${stdout}${stderr}`);
  const { testResults } = JSON.parse(stdout.slice(at)) as {
    testResults: { name: string; status: string }[];
  };
  return basename(testResults.find(({ status }) => status === 'failed')?.name ?? '');
}
