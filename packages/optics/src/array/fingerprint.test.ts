import { describe, expect, test } from 'vitest';
import { seededRandom } from '../random.js';
import type { ArrayGeometry } from './array.js';
import { matchFingerprints } from './fingerprint.js';
import { tubeLayout } from './tube-layout.js';

const base = { tubeLengthMm: 150, tubeBoreMm: 2.6, backPitchMm: 3, frontPitchMm: 3.8 };
const SQUARE: ArrayGeometry = { ...base, arrangement: 'square', rows: 8, columns: 11 };
const HEXAGONAL: ArrayGeometry = {
  ...base,
  arrangement: 'hexagonal',
  shiftedRows: 'even',
  rows: 9,
  columns: 10,
};

/** Scatter of 3 % from tube to tube, and a second look at it with 1 % of noise where `from` says. */
function patterns(array: ArrayGeometry, from: (n: number) => number) {
  const random = seededRandom(3);
  const one = Array.from({ length: tubeLayout(array).count }, () => 0.03 * random.normal());
  return { one, other: one.map((_, n) => (one[from(n)] ?? Number.NaN) + 0.01 * random.normal()) };
}

describe('matchFingerprints', () => {
  const { columns, rows } = SQUARE;
  test.each([
    ['turned by half', SQUARE, (n: number) => rows * columns - 1 - n, { mirrored: false, turnedDeg: 180 }],
    [
      'mirrored',
      SQUARE,
      (n: number) => n - 2 * (n % columns) + columns - 1,
      { mirrored: true, turnedDeg: 0, across: 0, up: 0 },
    ],
    ['a column aside', SQUARE, (n: number) => n - 1, { mirrored: false, turnedDeg: 0, across: 1, up: 0 }],
    ['hexagonal, two rows down', HEXAGONAL, (n: number) => n - 20, { turnedDeg: 0, across: 0 }],
  ])('%s', (_, array, from, view) => {
    const { one, other } = patterns(array, from);
    const { upright, others } = matchFingerprints(array, one, other);
    expect(others[0]!.view).toMatchObject(view);
    expect(others[0]!.sigmas).toBeGreaterThan(6);
    expect(upright.sigmas).toBeLessThan(4);
    // Each tube is found where the second pattern was made of it.
    others[0]!.tubes.forEach((tube, n) => {
      if (tube >= 0) expect(from(tube)).toBe(n);
    });
  });

  test('as it was', () => {
    const { one, other } = patterns(SQUARE, (n) => n);
    const { upright, others } = matchFingerprints(SQUARE, one, other);
    expect(upright.sigmas).toBeGreaterThan(others[0]!.sigmas + 6);
  });
});
