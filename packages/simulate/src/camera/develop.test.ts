import { readFileSync } from 'node:fs';
import exifr from 'exifr';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { smallPlan } from '../fixtures/small-plan.js';
import { developer, encodeSrgb } from './develop.js';

const WIDTH = 80;
const HEIGHT = 64;
/** No two pixels of a row or column alike, and all below full scale. */
const ramp = Float32Array.from(
  { length: WIDTH * HEIGHT },
  (_, i) => (2 * (i % WIDTH) + Math.floor(i / WIDTH)) / 255,
);

function photo(fields: string) {
  return smallPlan({ photo: `{ width: ${WIDTH}, height: ${HEIGHT}, ${fields} }` }).photo;
}

describe('developer', () => {
  test.each([
    ['jpeg', 1 / 8, 100],
    ['png8', 1 / 125, 640],
    ['png16', 1.6, 3200],
    ['jpeg', 0.3, 125],
  ])('EXIF of a %s says how it was exposed: %d s, ISO %d', async (format, seconds, iso) => {
    const file = await developer(photo(`format: ${format}`), 1.8)(ramp, { seconds, iso });
    const exif = await exifr.parse(Buffer.from(file));
    expect(exif.ExposureTime).toBeCloseTo(seconds, 9);
    expect(exif.ISO).toBe(iso);
    expect(exif.FNumber).toBeCloseTo(1.8, 9);
  });

  // sharp's own reading of the tag is the outside check.
  test.each([1, 2, 3, 4, 5, 6, 7, 8])('orientation %d puts the photo upright', async (orientation) => {
    const develop = developer(photo(`format: png8, tone: linear, orientation: ${orientation}`), 1.8);
    const file = await develop(ramp, { seconds: 1, iso: 100 });
    const { data, info } = await sharp(file)
      .autoOrient()
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([WIDTH, HEIGHT]);
    expect((await sharp(file).metadata()).orientation ?? 1).toBe(orientation);
    expect([...data]).toEqual([...ramp].map((value) => Math.round(value * 255)));
  });

  test('a linear 16-bit PNG holds the readings as they are', async () => {
    const file = await developer(photo('format: png16, tone: linear'), 1.8)(ramp, { seconds: 1, iso: 100 });
    const raw = await sharp(file).toColourspace('grey16').raw({ depth: 'ushort' }).toBuffer();
    const codes = new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2);
    expect([...codes]).toEqual([...ramp].map((value) => Math.round(value * 65535)));
  });

  test('tint scales the colours', async () => {
    const file = await developer(photo('format: png8, tone: linear, tint: [1, 0.5, 0.25]'), 1.8)(ramp, {
      seconds: 1,
      iso: 100,
    });
    const { data } = await sharp(file).raw().toBuffer({ resolveWithObject: true });
    const brightest = 3 * (WIDTH * HEIGHT - 1);
    expect([...data.slice(brightest, brightest + 3)]).toEqual([221, 111, 55]);
  });
});

// Decoded values of all 8-bit codes by IEC 61966-2-1; the file names its source.
test('encodeSrgb turns each tabulated light back into its code', () => {
  const file = new URL('../../../../datasets/reference/srgb.csv', import.meta.url);
  const rows = readFileSync(file, 'utf8')
    .split('\n')
    .map((line) => line.split(',').map(Number))
    .filter((row) => row.length >= 2 && row.every(Number.isFinite));
  expect(rows).toHaveLength(256);
  for (const [code, linear] of rows) expect(Math.abs(encodeSrgb(linear!) * 255 - code!)).toBeLessThan(1e-3);
});
