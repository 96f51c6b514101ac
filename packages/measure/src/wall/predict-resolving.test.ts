import { absorbingAcceptance, resolvingDistance, seededRandom, tubeOf } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { predictResolving } from './predict-resolving.js';

const ARRAY: ArraySpec = {
  name: 'bench',
  arrangement: 'square',
  rows: 20,
  columns: 24,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 3.4,
};
const predict = (gloss: number, spacingMm: number) =>
  predictResolving(
    ARRAY,
    { index: 1.5, extinction: 0, gloss },
    { spacingMm, requiredDip: 0.265, nearestMm: 200, farthestMm: 100_000 },
    seededRandom(3),
  );

describe('predictResolving', () => {
  test('far lamps and a wall that reflects nothing: as by the overlap formula', () => {
    const acceptance = absorbingAcceptance(tubeOf(ARRAY));
    const closed = resolvingDistance(ARRAY, () => acceptance, 400, 0.265, 200, 100_000);
    const found = predict(0, 400);
    expect(found.bound).toBe('within');
    // Some 20 m away a lamp's rays widen the acceptance by 1.56 L/D, a good hundredth.
    expect(Math.abs(found.distanceMm / closed.distanceMm - 1)).toBeLessThan(0.02);
  });

  test('gloss brings it nearer', () => {
    expect(predict(0.8, 100).distanceMm).toBeLessThan(0.5 * predict(0, 100).distanceMm);
  });
});
