import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { directionUncertaintyDeg } from './direction-uncertainty.js';

const BUNDLE: ArraySpec = {
  name: 'bundle',
  arrangement: 'packed',
  tubes: 3,
  rows: 1,
  columns: 3,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 3,
  places: [
    { acrossMm: -40, upMm: 0 },
    { acrossMm: 0, upMm: 0 },
    { acrossMm: 0, upMm: 30 },
  ],
};

describe('directionUncertaintyDeg', () => {
  test('least in the middle, more outside, less from lamps farther away', () => {
    const [outside, middle, above] = [0, 1, 2].map((tube) => directionUncertaintyDeg(BUNDLE, tube, 500)) as [
      number,
      number,
      number,
    ];
    // 0.36 mm at 500 mm, and 1 % of 40 mm beside it.
    expect(middle).toBeCloseTo(0.0413, 3);
    expect(outside).toBeCloseTo(0.0617, 3);
    expect(above).toBeGreaterThan(middle);
    expect(directionUncertaintyDeg(BUNDLE, 1, 1000)).toBeCloseTo(middle / 2, 5);
  });

  test('none where places are stated', () => {
    const square: ArraySpec = { ...BUNDLE, arrangement: 'square' };
    expect(directionUncertaintyDeg(square, 0, 500)).toBe(0);
  });
});
