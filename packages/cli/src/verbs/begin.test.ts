import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
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
  expect(err).toContain('1 dark, 1 even, 2 pair, 1 single; the kind of 0 was guessed from the picture.');
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
  expect(err).toContain('1 dark, 1 bare; the kind of 2 was guessed from the picture.');
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

describe('a planned list', () => {
  const LIST = `format: twolamp-session/1
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
shots:
  - { photo: dark-01.jpg, kind: dark } # lamps off
  - { photo: even-01.jpg, kind: even }
  - { photo: bare-01.jpg, kind: bare }
`;
  const black = { r: 2, g: 2, b: 2 };

  async function taken(name: string, colour: typeof bright, at: string): Promise<void> {
    const picture = sharp({ create: { width: 64, height: 48, channels: 3, background: colour } }).jpeg();
    await picture
      .withExif({ IFD2: { ExposureTime: '1/8', DateTimeOriginal: `2026:03:01 20:${at}:00` } })
      .toFile(join(folder, name));
  }

  test('photos go to its shots by the time they were taken, whatever their names; the list stays', async () => {
    await writeFile(join(folder, 'session-evening.yaml'), LIST);
    await taken('IMG_9.jpg', black, '01');
    await taken('IMG_12.jpg', bright, '02');
    await taken('IMG_10.jpg', bright, '03');
    await writeFile(join(folder, 'IMG_11.dng'), 'raw');
    const unconfirmed = await twolamp('begin', folder);
    expect(unconfirmed.code).toBe(1);
    expect(unconfirmed.err).toContain('nobody confirmed this table');
    const { code, err } = await twolamp('begin', folder, '--yes');
    expect(err).toContain('raw files: IMG_11.dng');
    expect(err).toContain('IMG_9.jpg   dark: lamps off, room as it is during the shots\n');
    expect(err).toMatch(/IMG_12.jpg {2}even: .* {2}looks like a bare shot: check\n/);
    expect(code).toBe(0);
    const text = await readFile(join(folder, 'session.yaml'), 'utf8');
    expect(text).toContain('{ photo: IMG_9.jpg, kind: dark } # lamps off');
    expect(readSession(text, 'session.yaml').shots.map(({ photo }) => photo)).toEqual([
      'IMG_9.jpg',
      'IMG_12.jpg',
      'IMG_10.jpg',
    ]);
    expect(await readFile(join(folder, 'session-evening.yaml'), 'utf8')).toBe(LIST);
  });

  test('of two lists the one with about as many shots', async () => {
    const pairs = Array.from(
      { length: 6 },
      (_, n) => `  - { photo: pair-${n}.jpg, kind: pair, spacing: 60 mm, distance: ${n + 1} m }\n`,
    );
    await writeFile(join(folder, 'session-evening.yaml'), `${LIST}${pairs.slice(0, 2).join('')}`);
    await writeFile(join(folder, 'session-thorough.yaml'), `${LIST}${pairs.join('')}`);
    for (const [photos, list] of [
      [4, 'evening'],
      [8, 'thorough'],
    ] as const) {
      for (let n = 0; n < photos; n++) await taken(`IMG_${n}.jpg`, n === 0 ? black : bright, `1${n}`);
      const { err } = await twolamp('begin', folder, '--yes');
      expect(err).toContain(`session-${list}.yaml`);
    }
  });

  test('a photo too few is told with what both lists hold, and nothing is written', async () => {
    await writeFile(join(folder, 'session-evening.yaml'), LIST);
    await taken('IMG_1.jpg', black, '01');
    await taken('IMG_2.jpg', bright, '02');
    const { code, err } = await twolamp('begin', folder, '--yes');
    expect(code).toBe(1);
    expect(err).toContain('2 photos for 3 shots');
    expect(err).toContain('IMG_2.jpg (looks like bare)  even: the front face evenly lit');
    expect(err).toMatch(/^ +bare: the sheet alone/m);
    expect(err).toContain('Planned: 1 dark, 1 even, 1 bare. Photos by time and look: 1 dark, 1 bare');
    expect((await readdir(folder)).sort()).toEqual(['IMG_1.jpg', 'IMG_2.jpg', 'session-evening.yaml']);
  });
});
