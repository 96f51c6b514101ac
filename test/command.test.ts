import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readEvidence, readResult } from '@twolamp/session';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

const PLAN = `format: twolamp-plan/1
seed: 11
array: { name: Test panel, arrangement: square, rows: 6, columns: 8, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 360, height: 280, format: png16, tone: linear }
shots: [{ kind: dark }, { kind: even, repeats: 2 }, { kind: bare }]
`;

let folder: string;
let session: string;
let out: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-test-'));
  session = join(folder, 'simulated', 'session.yaml');
  out = join(folder, 'simulated', 'measured');
  await writeFile(join(folder, 'plan.yaml'), PLAN);
  expect((await twolamp('simulate', join(folder, 'plan.yaml'))).code).toBe(0);
});
afterAll(() => rm(folder, { recursive: true }));

const read = (name: string) => readFile(join(out, name), 'utf8');

test('measure writes everything beside the session, and leaves the rest of the folder alone', async () => {
  await mkdir(out);
  await writeFile(join(out, 'mine.txt'), 'mine');
  const { code, out: json, err } = await twolamp('measure', session, '--json');
  expect(err).toContain('Report: ');
  expect(code).toBe(0);
  expect((await readdir(out)).sort()).toEqual([
    'bench-page.pdf',
    'cells.csv',
    'evidence.json',
    'mine.txt',
    'pairs.csv',
    'pull-map-back.pdf',
    'pull-map-back.svg',
    'pull-map-front.pdf',
    'pull-map-front.svg',
    'report.html',
    'result.json',
    'reuse.bin',
  ]);
  const result = readResult(await read('result.json'), 'result.json');
  expect(JSON.parse(json)).toEqual(result);
  expect(result.photos.map((photo) => photo.kind)).toEqual(['dark', 'even', 'even', 'bare']);
  const { picture } = readEvidence(await read('evidence.json'), 'evidence.json');
  expect(picture).toMatchObject({ widthPx: 360, heightPx: 280, scale: 1 });
  expect(await read('mine.txt')).toBe('mine');
});

test('report writes the same page again', async () => {
  const page = await read('report.html');
  await rm(join(out, 'report.html'));
  const { code } = await twolamp('report', join(out, 'result.json'));
  expect(code).toBe(0);
  expect(await read('report.html')).toBe(page);
});

test('report does without the evidence', async () => {
  const elsewhere = join(folder, 'elsewhere');
  await mkdir(elsewhere);
  await writeFile(join(elsewhere, 'result.json'), await read('result.json'));
  expect((await twolamp('report', join(elsewhere, 'result.json'))).code).toBe(0);
  expect(await readdir(elsewhere)).toContain('report.html');
});
