import { execFile } from 'node:child_process';
import { cp, mkdtemp, readFile, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

// Threads load compiled code only: the built command measures on threads, the one run from its sources without them.
const BUILT = fileURLToPath(new URL('../packages/cli/dist/main.js', import.meta.url));

const PLAN = `format: twolamp-plan/1
seed: 4
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 200, height: 150 }
shots:
  - { kind: dark }
  - { kind: even, repeats: 3 }
  - { kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m, repeats: 3 }
  - { kind: lamp, across: 100 mm, up: 0 mm, distance: 2 m, repeats: 3 }
`;

let folder: string;
let session: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-threads-'));
  await writeFile(join(folder, 'plan.yaml'), PLAN);
  session = join(folder, 'whole');
  expect((await twolamp('simulate', join(folder, 'plan.yaml'), '--out', session)).code).toBe(0);
}, 60_000);
afterAll(() => rm(folder, { recursive: true }));

/** Measures with the built command. */
function onThreads(home: string): Promise<{ code: number; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [BUILT, 'measure', home, '--out', join(home, 'threads')], (error, _, err) =>
      resolve({ code: error === null ? 0 : Number(error.code), err }),
    );
  });
}

test('a session measured on threads gives the same to the last byte', async () => {
  const { code } = await onThreads(session);
  expect((await twolamp('measure', session, '--out', join(session, 'alone'))).code).toBe(code);
  for (const name of ['result.json', 'evidence.json', 'cells.csv']) {
    const [one, other] = ['threads', 'alone'].map((way) => readFile(join(session, way, name), 'utf8'));
    expect(await one, name).toBe(await other);
  }
});

test('of two photos at fault the first in the session is told, as without threads', async () => {
  const home = join(folder, 'faulty');
  // Without results: what an earlier run measured would be used again.
  await cp(session, home, { recursive: true, filter: (from) => !/(threads|alone)$/.test(from) });
  for (const photo of ['lamp-5.jpg', 'lamp-2.jpg']) await truncate(join(home, photo), 2000);
  const threads = await onThreads(home);
  const alone = await twolamp('measure', home);
  // How much time is left depends on the machine's load.
  const [one, other] = [threads, alone].map(({ err }) => err.replace(/, about [^\n]* left$/gm, ''));
  expect(threads.code).toBe(1);
  expect(one).toBe(other);
  expect(threads.err).toMatch(/lamp-2\.jpg: the picture is damaged/);
});
