import { InputError } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  CURVES,
  type CameraCurve,
  EXPOSURES,
  expose,
  type Noise,
  normal,
  seeded,
} from '../fixtures/series.js';
import { fitResponse } from './fit-response.js';
import type { SeriesSamples } from './log-response.js';

const POINTS = 8_000;
/**
 * From a clean to a poor phone picture. `from` is the lowest code held against the truth: ten times the noise in
 * codes, below which a mean of logarithms is biased by more than half a per cent.
 */
const NOISES: { name: string; noise: Noise; from: number }[] = [
  { name: 'rounding alone', noise: { read: 0, shot: 0, codes: 0 }, from: 3 },
  { name: 'a good camera', noise: { read: 3e-4, shot: 3e-5, codes: 0.7 }, from: 7 },
  { name: 'a poor one', noise: { read: 1e-3, shot: 1e-4, codes: 2 }, from: 20 },
];

/** Scene points of a thousandfold range of light, spread evenly in stops, photographed at every exposure. */
function series(curve: CameraCurve, noise: Noise, exposures = EXPOSURES): SeriesSamples[] {
  const random = seeded(7);
  const gauss = normal(random);
  const lights = Float64Array.from({ length: POINTS }, () => 0.0008 * 1000 ** random());
  return exposures.map((exposure) => ({
    exposure,
    codes: Uint8Array.from(lights, (light) => expose(light * exposure, curve, noise, gauss)),
  }));
}

/** Light between a code and the next, or the one before for the top. */
function codeStep(curve: CameraCurve, code: number): number {
  const lower = Math.min(code, 254);
  return curve.decode((lower + 1) / 255) - curve.decode(lower / 255);
}

describe.each(CURVES)('round trip through $name', (curve) => {
  test.each(NOISES)('$name', ({ noise, from }) => {
    const { table, residualStops, lowestCode, highestCode } = fitResponse(series(curve, noise));
    expect(table).toHaveLength(256);
    expect(table[255]).toBe(1);
    expect(table.every((light, code) => code === 0 || light >= table[code - 1])).toBe(true);
    for (let code = from; code < 256; code++) {
      // Within one step of the photo's codes: closer than any one pixel tells.
      expect(Math.abs(table[code] - curve.decode(code / 255))).toBeLessThan(codeStep(curve, code));
    }
    expect(lowestCode).toBeLessThan(10);
    expect(highestCode).toBeGreaterThan(245);
    expect(residualStops).toBeLessThan(0.1);
  });
});

describe('fitResponse', () => {
  const [srgb] = CURVES;
  const [, { noise }] = NOISES;

  test('only ratios of exposures count, and the order of photos does not', () => {
    const photos = series(srgb, noise);
    const { table } = fitResponse(photos);
    const inMilliseconds = photos
      .map(({ codes, exposure }) => ({ codes, exposure: 1000 * exposure }))
      .reverse();
    const again = fitResponse(inMilliseconds).table;
    for (let code = 0; code < 256; code++) expect(Math.abs(again[code] - table[code])).toBeLessThan(1e-9);
  });

  test('leaves its input alone', () => {
    const photos = series(srgb, noise, [1, 4]);
    const before = structuredClone(photos);
    fitResponse(photos);
    expect(photos).toEqual(before);
  });

  /** The series with one photo in which the first `share` of the points have changed places. */
  function disturbed(share: number): SeriesSamples[] {
    return series(srgb, noise).map(({ codes, exposure }, j) => {
      if (j !== 3) return { codes, exposure };
      const moved = Math.round(codes.length * share);
      return { codes: codes.map((code, i) => (i < moved ? codes[moved - 1 - i] : code)), exposure };
    });
  }

  test('a hundredth of the scene that moved shows in the residual', () => {
    const still = fitResponse(series(srgb, noise)).residualStops;
    expect(fitResponse(disturbed(0.01)).residualStops).toBeGreaterThan(3 * still);
  });

  test('a scene that moved altogether is refused', () => {
    expect(() => fitResponse(disturbed(1))).toThrow(InputError);
    expect(() => fitResponse(disturbed(1))).toThrow(/no one response fits/);
  });

  test.each([
    {
      what: 'one exposure',
      photos: series(srgb, noise, [1, 1]),
      message: 'series must have two different exposures',
    },
    { what: 'no photo', photos: [], message: 'series must have two different exposures' },
    { what: 'exposure 0', photos: series(srgb, noise, [0, 1]), message: 'exposure must be above 0, got 0' },
    {
      what: 'no number',
      photos: series(srgb, noise, [1, Number.NaN]),
      message: 'exposure must be above 0, got NaN',
    },
    {
      what: 'unequal lengths',
      photos: [
        { codes: new Uint8Array(9), exposure: 1 },
        { codes: new Uint8Array(8), exposure: 2 },
      ],
      message: 'codes must have 9 samples like the first, got 8',
    },
  ])('throws for $what', ({ photos, message }) => {
    expect(() => fitResponse(photos)).toThrow(RangeError);
    expect(() => fitResponse(photos)).toThrow(message);
  });

  test.each([
    { what: 'all dark', codes: [0, 0] },
    { what: 'all clipped', codes: [255, 255] },
    { what: 'dark, then clipped', codes: [0, 255] },
  ])('refuses a series that is $what', ({ codes }) => {
    const photos = codes.map((code, j) => ({ codes: new Uint8Array(100).fill(code), exposure: 2 ** j }));
    expect(() => fitResponse(photos)).toThrow(InputError);
    expect(() => fitResponse(photos)).toThrow(/well exposed/);
  });

  test('refuses photos that darken as the exposure grows', () => {
    const photos = series(srgb, noise).map(({ codes }, j) => ({ codes, exposure: EXPOSURES[6 - j] }));
    expect(() => fitResponse(photos)).toThrow(/no one response fits/);
  });
});
