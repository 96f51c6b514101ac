import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cellPlace, previewSchema, type Result, RESULT_FORMAT } from '@twolamp/session';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { twolamp } from '../fixtures/run-command.js';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-preview-'));
});
afterEach(() => rm(folder, { recursive: true }));

const ARRAY = {
  name: 'Panel',
  arrangement: 'square',
  rows: 5,
  columns: 6,
  tubeLengthMm: 150,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 3,
} as const;

/** A parallel panel of 5 × 6 tubes, the third of row 2 blocked and on the pull list. */
const RESULT: Result = {
  format: RESULT_FORMAT,
  made: null,
  array: ARRAY,
  cells: Array.from({ length: 30 }, (_, i) => ({
    ...cellPlace(ARRAY, i),
    atMm: { across: 0, up: 0 },
    state: 'filled' as const,
    xPx: 10 * i,
    yPx: 0,
    seen: i !== 8,
    transmission: {
      relative: i === 8 ? 0 : 1,
      relativeUncertainty: 0.01,
      absolute: i === 8 ? 0 : 1 / 14_400,
      absoluteUncertainty: 1e-6,
    },
    pointing: null,
    bend: null,
    cureShiftMm: null,
    crosstalk: null,
    fault: i === 8 ? ('blocked' as const) : ('none' as const),
    reasons: [],
  })),
  pairs: [],
  resolving: null,
  crosstalk: null,
  wall: null,
  pull: [
    {
      ...cellPlace(ARRAY, 8),
      fault: 'blocked',
      gain: 0.01,
      gainUncertainty: 0.001,
      dipGain: null,
      dipGainUncertainty: null,
    },
  ],
  findings: [],
  photos: [],
};

/** Right half white; 60 mm wide 100 mm away it is more than the tubes see. */
async function files(): Promise<{ result: string; scene: string }> {
  const result = join(folder, 'result.json');
  await writeFile(result, JSON.stringify(RESULT));
  const scene = join(folder, 'scene.png');
  const codes = Buffer.from(Array.from({ length: 60 * 60 }, (_, i) => (i % 60 < 30 ? 0 : 255)));
  await sharp(codes, { raw: { width: 60, height: 60, channels: 1 } })
    .png()
    .toFile(scene);
  return { result, scene };
}

const SIZE = ['--width', '60mm', '--distance', '10cm'];

describe('preview', () => {
  test('writes figures, pictures and a page beside the result', async () => {
    const { result, scene } = await files();
    const { code, out, err } = await twolamp(
      ...['preview', result, '--scene', scene, ...SIZE, '--lens', 'f/8', '--exposure', '3 min', '--json'],
    );
    expect(code).toBe(0);
    const text = await readFile(join(folder, 'preview', 'preview.json'), 'utf8');
    const preview = previewSchema.parse(JSON.parse(text));
    expect(JSON.parse(out)).toEqual(preview);
    expect((await readdir(join(folder, 'preview'))).sort()).toEqual([
      'as-measured-negative.png',
      'as-measured-positive.png',
      'perfect-negative.png',
      'perfect-positive.png',
      'preview.html',
      'preview.json',
      'repaired-negative.png',
      'repaired-positive.png',
    ]);
    // Parallel tubes each see what is straight before them: left of the middle black, right of it white.
    for (const { column, perfect } of preview.tubes) {
      if (column! < 3 || column! > 4) expect(perfect).toBeCloseTo(column! > 4 ? 1 : 0, 2);
    }
    // 1/14400 of the light is f/60 (E = π·radiance/(4N²)), 56.25 times as long as f/8.
    expect(preview.exposure!.known!.exposureS).toBeCloseTo(10_125, 6);
    expect(err).toContain('Where a lens at f/8 took 3\u00a0min, this array takes');
    expect(err).toContain('Where the tubes look was not measured');
    expect(err).toContain('reciprocity failure');
    expect(err).toContain(join('preview', 'preview.html'));
    const { data, info } = await sharp(join(folder, 'preview', 'repaired-positive.png'))
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    const middleOf = (row: number, column: number) =>
      Math.floor(((row - 0.5) * info.height) / 5) * info.width +
      Math.floor(((column - 0.5) * info.width) / 6);
    expect([data[middleOf(3, 1)], data[middleOf(3, 6)]]).toEqual([0, 255]);
  });

  test.each([
    ['180s', 180],
    ['1/2 s', 0.5],
    ['3 min', 180],
    ['1.5h', 5400],
  ])('takes an exposure of %s', async (text, seconds) => {
    const { result, scene } = await files();
    const args = ['preview', result, '--scene', scene, ...SIZE, '--lens', '8', '--exposure', text, '--json'];
    const { out } = await twolamp(...args);
    expect(JSON.parse(out).exposure.known.lensExposureS).toBe(seconds);
  });

  test.each([
    ['no scene', SIZE, "required option '--scene <photo>' not specified"],
    [
      'a lens without an exposure',
      ['--scene', 'x', ...SIZE, '--lens', '8'],
      '--lens and --exposure go together',
    ],
    [
      'a bare number for a time',
      ['--scene', 'x', ...SIZE, '--lens', '8', '--exposure', '3'],
      'Expected a time',
    ],
    [
      'a time that is none',
      ['--scene', 'x', ...SIZE, '--lens', '8', '--exposure', '.. min'],
      'Expected a time',
    ],
    [
      'an unknown wall',
      ['--scene', 'x', ...SIZE, '--tube-wall', 'red'],
      'Allowed choices are glossy black, matte black',
    ],
  ])('%s ends with 2', async (_, args, says) => {
    const { code, err } = await twolamp('preview', 'result.json', ...args);
    expect(err).toContain(says);
    expect(code).toBe(2);
  });

  test.each([
    ['a missing result', 'none.json', 'scene.png', 'there is no such file; expected a result.json'],
    ['a scene that is no photo', 'result.json', 'result.json', 'this is not a picture of a readable type'],
    ['a missing scene', 'result.json', 'none.png', 'none.png: '],
  ])('%s ends with 1, nothing written', async (_, result, scene, says) => {
    await files();
    const before = await readdir(folder);
    const { code, err } = await twolamp(
      'preview',
      join(folder, result),
      '--scene',
      join(folder, scene),
      ...SIZE,
    );
    expect(err).toContain(says);
    expect({ code, files: await readdir(folder) }).toEqual({ code: 1, files: before });
  });

  test('--help shows an example', async () => {
    const { code, out } = await twolamp('preview', '--help');
    expect(out).toContain('Example:\n  npm run --silent twolamp -- preview');
    expect(code).toBe(0);
  });
});
