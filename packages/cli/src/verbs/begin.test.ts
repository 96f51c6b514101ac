import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import sharp from 'sharp';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { twolamp } from '../fixtures/run-command.js';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-begin-'));
});
afterEach(() => rm(folder, { recursive: true }));

const bright = { r: 200, g: 200, b: 200 };

async function photo(name: string, colour: { r: number; g: number; b: number }): Promise<void> {
  const picture = sharp({ create: { width: 64, height: 48, channels: 3, background: colour } }).jpeg();
  await picture.withExif({ IFD2: { ExposureTime: '1/8' } }).toFile(join(folder, name));
}

test('guesses from names, marks the gaps, and leaves a session alone that is there', async () => {
  await mkdir(join(folder, 'measured'));
  await writeFile(join(folder, 'notes.txt'), 'mine');
  for (const name of ['pair-10 1.8m.jpg', 'pair-9 2m.jpg', 'dark.jpg', 'even.jpg', 'tube r3c4.jpg']) {
    await photo(name, bright);
  }
  const { code, err } = await twolamp('begin', folder);
  expect(code).toBe(0);
  expect(err).toContain('1 dark, 1 even, 2 pair, 1 single; 0 of them by look.');
  const text = await readFile(join(folder, 'session.yaml'), 'utf8');
  expect(text.split('\n').filter((line) => line.includes('photo:'))).toEqual([
    '  - { photo: dark.jpg, kind: dark }',
    '  - { photo: even.jpg, kind: even }',
    '  - { photo: pair-9 2m.jpg, kind: pair, spacing: ___ mm, distance: 2 m, turned: 0 deg, across: 0 mm, up: 0 mm } # fill in ___',
    '  - { photo: pair-10 1.8m.jpg, kind: pair, spacing: ___ mm, distance: 1.8 m, turned: 0 deg, across: 0 mm, up: 0 mm } # fill in ___',
    '  - { photo: tube r3c4.jpg, kind: single, row: 3, column: 4 }',
  ]);
  expect(() => readSession(text, 'session.yaml')).toThrow('array.arrangement: found "___"');

  const again = await twolamp('begin', folder);
  expect(again.err).toContain('the file is there already');
  expect(again.code).toBe(1);
  expect(await readFile(join(folder, 'session.yaml'), 'utf8')).toBe(text);
});

test('looks at the pictures where a name says nothing', async () => {
  await photo('IMG_0001.jpg', { r: 2, g: 2, b: 2 });
  const half = await sharp({ create: { width: 32, height: 48, channels: 3, background: bright } })
    .png()
    .toBuffer();
  await sharp({ create: { width: 64, height: 48, channels: 3, background: { r: 0, g: 0, b: 0 } } })
    .composite([{ input: half, left: 0, top: 0 }])
    .png()
    .toFile(join(folder, 'IMG_0002.png'));
  const { err } = await twolamp('begin', folder);
  expect(err).toContain('1 dark, 1 bare; 2 of them by look.');
  const text = await readFile(join(folder, 'session.yaml'), 'utf8');
  expect(text).toContain('IMG_0001.jpg, kind: dark } # guessed from its look\n');
  expect(text).toContain('kind: bare } # guessed from its look; no exposure time in the photo');
  expect(text).toContain('# No photo looks like an even shot');
});

test('a photo that can’t be read is named, and nothing is written', async () => {
  await writeFile(join(folder, 'even.jpg'), '');
  const { code, err } = await twolamp('begin', folder);
  expect(err).toContain('even.jpg: the file is empty');
  expect({ code, files: await readdir(folder) }).toEqual({ code: 1, files: ['even.jpg'] });
});
