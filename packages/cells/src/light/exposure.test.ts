import type { LinearPhoto, Shot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { comparable, completedExposures, type Exposure, exposureFactor, exposureOf } from './exposure.js';

const exposure = (seconds: number | null, iso: number | null, aperture: number | null): Exposure => ({
  seconds,
  iso,
  aperture,
});

// ISO 2720: N²/t = L·S/K with K = 12.5, so that the sensor's signal t·S/N²·L is K at the metered luminance. Pairs of EV
// and luminance at ISO 100: the table L = 2^EV/8 cd/m² as printed with the APEX system (D. Kerr, APEX, 2007).
const METERED_AT_F16 = [
  { ev: 0, luminance: 0.125, seconds: 256 },
  { ev: 1, luminance: 0.25, seconds: 128 },
  { ev: 5, luminance: 4, seconds: 8 },
  { ev: 8, luminance: 32, seconds: 1 },
  { ev: 10, luminance: 128, seconds: 1 / 4 },
  { ev: 12, luminance: 512, seconds: 1 / 16 },
  { ev: 16, luminance: 8192, seconds: 1 / 256 },
];

describe('exposureFactor', () => {
  test.each(METERED_AT_F16)(
    'EV $ev: the metered luminance always gives the same signal',
    ({ luminance, seconds }) => {
      const signal = exposureFactor(exposure(seconds, 100, 16)) * luminance;
      expect(Math.abs(signal / (12.5 / 100) - 1)).toBeLessThan(1e-12);
    },
  );

  // f/16 and 1/ISO seconds: 3200 cd/m² at any film speed.
  test.each([50, 100, 400, 3200])('sunny sixteen at ISO %i', (iso) => {
    expect(Math.abs((exposureFactor(exposure(1 / iso, iso, 16)) * 3200) / (12.5 / 100) - 1)).toBeLessThan(
      1e-12,
    );
  });

  // Times that keep the signal when the aperture goes from one number to another: t₂/t₁ = (N₂/N₁)².
  test.each([
    [8, 16, 4],
    [2.8, 10, 12.755102],
    [16, 30, 3.515625],
    [16, 60, 14.0625],
  ])('f/%d to f/%d is made up for by %d times the time', (from, to, times) => {
    const [before, after] = [
      exposureFactor(exposure(0.5, 200, from)),
      exposureFactor(exposure(0.5 * times, 200, to)),
    ];
    expect(Math.abs(after / before - 1)).toBeLessThan(1e-7);
  });

  test.each([
    ['time', exposure(0.25, 100, null), exposure(0.5, 100, null), 2],
    ['ISO', exposure(0.25, 100, null), exposure(0.25, 400, null), 4],
    ['nothing known', exposure(null, null, null), exposure(null, null, null), 1],
  ])('%s', (_, one, other, ratio) => {
    expect(exposureFactor(other) / exposureFactor(one)).toBe(ratio);
  });
});

test.each([
  ['all known', [exposure(1, 100, 2), exposure(0.5, 200, 4)], true],
  ['times alone', [exposure(1, null, null), exposure(0.5, null, null)], true],
  ['a time missing', [exposure(1, 100, 2), exposure(null, 100, 2)], false],
  ['ISO of one only', [exposure(1, 100, null), exposure(1, null, null)], false],
  ['aperture of one only', [exposure(1, 100, 2), exposure(1, 100, null)], false],
])('comparable: %s', (_, exposures, expected) => {
  expect(comparable(exposures)).toBe(expected);
});

test('what the session states goes before what the photo says', () => {
  const photo = { exposureS: 0.1, iso: 100, aperture: 4 } as LinearPhoto;
  const shot: Shot = { photo: 'even.jpg', kind: 'even', stated: { exposureS: 0.2, aperture: 8 } };
  expect(exposureOf(shot, photo)).toEqual(exposure(0.2, 100, 8));
  expect(exposureOf(shot, { ...photo, iso: null })).toEqual(exposure(0.2, null, 8));
});

describe('one photo without its exposure', () => {
  const KNOWN = exposure(0.5, 100, 2);
  const NONE = exposure(null, null, null);
  test.each([
    ['has that of the others of its kind', [KNOWN, KNOWN, KNOWN, NONE], { taken: [3], unknown: [] }],
    ['is unknown where they differ', [KNOWN, KNOWN, exposure(1, 100, 2), NONE], { taken: [], unknown: [3] }],
    ['is unknown where they are few', [KNOWN, KNOWN, NONE, NONE], { taken: [], unknown: [2, 3] }],
    ['lacks ISO alone', [KNOWN, KNOWN, KNOWN, exposure(0.5, null, 2)], { taken: [3], unknown: [] }],
  ])('%s', (_, exposures, { taken, unknown }) => {
    const found = completedExposures(['even', 'lamp', 'lamp', 'lamp'], exposures);
    expect(found).toMatchObject({ taken, unknown, comparable: true });
    for (const n of taken) expect(found.exposures[n]).toEqual(KNOWN);
  });

  test('where most have none, none can be compared', () => {
    const found = completedExposures(['even', 'lamp', 'lamp'], [NONE, NONE, KNOWN]);
    expect(found).toMatchObject({ taken: [], unknown: [], comparable: false });
  });
});
