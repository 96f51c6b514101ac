import { copyFile, cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

const PLAN = `format: twolamp-plan/1
seed: 6
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 200, height: 150 }
shots:
  - { kind: dark }
  - { kind: even, repeats: 2 }
  - { kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m }
  - { kind: lamp, across: 60 mm, up: 0 mm, distance: 2 m }
  - { kind: single, row: 3, column: 4 }
  - { kind: bare }
`;

let folder: string;
let whole: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-again-'));
  whole = join(folder, 'whole');
  await writeFile(join(folder, 'plan.yaml'), PLAN);
  expect((await twolamp('simulate', join(folder, 'plan.yaml'), '--out', whole)).code).toBe(0);
  await twolamp('measure', whole);
}, 240_000);
afterAll(() => rm(folder, { recursive: true }));

const replaced = (photo: string, by: string) => (home: string) => copyFile(join(home, by), join(home, photo));
const stated = (from: string | RegExp, to: string) => async (home: string) => {
  const file = join(home, 'session.yaml');
  const text = await readFile(file, 'utf8');
  expect(text).toMatch(from);
  await writeFile(file, text.replace(from, to));
};
const damaged = async (home: string) => {
  const file = join(home, 'measured', 'reuse.bin');
  const bytes = await readFile(file);
  bytes[bytes.length >> 1]! ^= 1;
  await writeFile(file, bytes);
};
const cut = (home: string) => writeFile(join(home, 'measured', 'reuse.bin'), 'x');

const ALL = ['even-1', 'dark', 'even-2', 'lamp-1', 'lamp-2', 'single', 'bare'];
const FURTHER = ALL.slice(2);

test.each([
  ['nothing', async () => {}, []],
  ['a lamp photo', replaced('lamp-1.jpg', 'lamp-2.jpg'), ['lamp-1']],
  ['a lamp’s place', stated('across: 60 mm', 'across: 55 mm'), []],
  ['the front pitch', stated('front-pitch: 3.6 mm', 'front-pitch: 3.7 mm'), []],
  ['which tube was lit alone', stated('row: 3', 'row: 2'), ['single']],
  ['the dark photo', replaced('dark.jpg', 'lamp-2.jpg'), ['dark', ...FURTHER]],
  ['the first even photo', replaced('even-1.jpg', 'even-2.jpg'), ALL],
  ['the second even photo', replaced('even-2.jpg', 'even-1.jpg'), ['even-2']],
  ['the camera’s tone', stated(/tone: \w+/, 'tone: linear'), ALL],
  ['a byte of what was kept', damaged, ALL],
  ['all of what was kept', cut, ALL],
] as const)(
  'changed: %s; only what rests on it is measured, and the result is that of a fresh run',
  async (_, change, again) => {
    const home = await mkdtemp(join(folder, 'home-'));
    await cp(whole, home, { recursive: true });
    await change(home);
    const second = await twolamp('measure', home);
    const measured = [...second.err.matchAll(/^\d+ of \d+: ([\w-]+)\.jpg/gm)].map(([, photo]) => photo);
    expect(measured.sort()).toEqual([...again].sort());
    const fresh = await twolamp('measure', home, '--out', join(home, 'fresh'));
    expect(second.code).toBe(fresh.code);
    for (const name of ['result.json', 'evidence.json', 'cells.csv', 'pairs.csv']) {
      const [one, other] = ['measured', 'fresh'].map((out) => readFile(join(home, out, name), 'utf8'));
      expect(await one, name).toBe(await other);
    }
  },
);
