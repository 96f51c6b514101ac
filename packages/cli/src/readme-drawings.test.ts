import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { twolamp } from './fixtures/run-command.js';

const ROOT = new URL('../../../', import.meta.url);

let made: string;
beforeAll(async () => {
  made = await mkdtemp(join(tmpdir(), 'twolamp-drawings-'));
  await twolamp(
    'plan',
    ...[
      '--name',
      'Reed panel',
      '--rows',
      '24',
      '--columns',
      '30',
      '--tube-length',
      '190mm',
      '--tube-bore',
      '3.2mm',
    ],
    ...['--back-pitch', '3.7mm', '--front-pitch', '4.6mm', '--lamps', '60mm', '--room', '4m', '--out', made],
  );
});
afterAll(() => rm(made, { recursive: true }));

test.each(['bench.svg', 'camera.svg', 'sheet.svg'])(
  'datasets/drawings/%s is what plan draws, and the README shows it',
  async (name) => {
    const drawn = await readFile(join(made, name), 'utf8');
    expect(await readFile(new URL(`datasets/drawings/${name}`, ROOT), 'utf8')).toBe(drawn);
    expect(await readFile(new URL('README.md', ROOT), 'utf8')).toContain(`](datasets/drawings/${name})`);
  },
);
