import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { fileIn } from './existing.js';

let home: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-existing-'));
  await mkdir(join(home, 'bench'));
});
afterEach(() => rm(home, { recursive: true }));

test('a folder stands for the first of the files that it holds, or for the first that it may hold', async () => {
  const bench = join(home, 'bench');
  expect(await fileIn(bench, 'session.yaml', 'plan.yaml')).toBe(join(bench, 'session.yaml'));
  await writeFile(join(bench, 'plan.yaml'), '');
  expect(await fileIn(bench, 'session.yaml', 'plan.yaml')).toBe(join(bench, 'plan.yaml'));
});

test('what isn’t there is named as it was given', async () => {
  expect(await fileIn(join(home, 'bensh'), 'session.yaml')).toBe(join(home, 'bensh'));
});
