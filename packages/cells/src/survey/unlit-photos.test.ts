import { type ArraySpec, finding, type LampShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { judgedUnlit } from './unlit-photos.js';

const ARRAY: ArraySpec = {
  name: 'twelve tubes',
  arrangement: 'square',
  rows: 3,
  columns: 4,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 5,
};
/** The tube at the lower right corner is blocked. */
const flux = Float64Array.from({ length: 12 }, (_, k) => (k === 11 ? 0.01 : 1));
const light = { flux, sigma: flux.map(() => 0.001), clipped: new Uint8Array(12) };
const EVEN = { range: { gap: 0.02, spot: 0.52 }, exposure: 1, light };
const BLAMED = finding('doubt-photo-kind', 'lamp.jpg', {
  statedKind: 'lamp',
  seenAs: 'noise',
  seenAgainst: null,
  fittingKind: null,
});

/** A lamp straight before the tube of a row and a column, 1.5 m away. */
const lampBefore = (row: number, column: number): LampShot => ({
  kind: 'lamp',
  photo: 'lamp.jpg',
  stated: {},
  acrossMm: (column - 2.5) * (5 + (1500 * 2) / 150),
  upMm: (2 - row) * (5 + (1500 * 2) / 150),
  distanceMm: 1500,
});
const noise = { range: { gap: 0.1, spot: 0.14 }, exposure: 200 };

describe('judgedUnlit', () => {
  test.each([
    ['noise, the lamp before the blocked tube', lampBefore(3, 4), noise, 'shows-no-light'],
    ['the same, the lamp before another tube', lampBefore(2, 2), noise, 'doubt-photo-kind'],
    [
      'a bright picture in place of the lamp before the blocked tube',
      lampBefore(3, 4),
      { range: { gap: 0.1, spot: 0.8 }, exposure: 2 },
      'doubt-photo-kind',
    ],
    ['noise of an unknown exposure', lampBefore(3, 4), { ...noise, exposure: null }, 'doubt-photo-kind'],
  ] as const)('%s', (_, shot, photo, code) => {
    expect(judgedUnlit([BLAMED], shot, photo, EVEN, ARRAY).map((one) => one.code)).toEqual([code]);
  });

  test('other findings stay', () => {
    const other = finding('stray-light-strong', 'lamp.jpg', { share: 0.6 });
    expect(judgedUnlit([other], lampBefore(3, 4), noise, EVEN, ARRAY)).toEqual([other]);
  });
});
