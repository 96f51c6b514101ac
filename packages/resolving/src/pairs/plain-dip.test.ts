import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { type PlainDip, plainCrossing } from './plain-dip.js';

const dipAt = (distanceM: number, dip: number): PlainDip => ({
  distanceM,
  spacingM: 0.06,
  photos: [],
  dip,
  uncertainty: 0.01,
  modelDip: dip,
});

// A parabola in the logarithm of the distance by construction: 0.9 − 0.6·ln D − 0.1·ln² D meets 0.265 at D = exp(0.9179) = 2.504.
test('a plain curve through dips crosses the criterion where they do', () => {
  const dips = [1.5, 2, 2.5, 3, 3.5].map((d) => dipAt(d, 0.9 - 0.6 * Math.log(d) - 0.1 * Math.log(d) ** 2));
  const found = plainCrossing(dips, 0.265, seededRandom(1))!;
  expect(Math.abs(found.distanceM - 2.504)).toBeLessThan(0.03);
  expect(found.uncertaintyM).toBeGreaterThan(0.005);
  expect(found.uncertaintyM).toBeLessThan(0.1);
});

test('no crossing where all are separate', () => {
  expect(
    plainCrossing(
      [1, 1.5, 2].map((d) => dipAt(d, 0.8 - 0.1 * d)),
      0.265,
      seededRandom(1),
    ),
  ).toBeNull();
});
