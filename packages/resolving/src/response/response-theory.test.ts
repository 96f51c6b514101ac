import { circleOverlap, mirrorTransmission } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { knotsFor } from './radial-spline.js';
import { theoryOf } from './response-theory.js';

const TUBE = { boreMm: 2.6, lengthMm: 150 };
/** Half width of a black tube: two circles of one size share half their area 0.40397 diameters apart (OEIS A133741). */
const BLACK = (0.40397 * TUBE.boreMm) / TUBE.lengthMm;

const splineOf = (halfWidth: number, response: (slope: number) => number) => {
  const knots = knotsFor(halfWidth);
  return { knots, values: knots.map(response) };
};

test.each([
  { name: 'black', halfWidth: BLACK },
  { name: 'narrower than black', halfWidth: 0.9 * BLACK },
])('walls as $name: two circles that share their area, of the measured half width', ({ halfWidth }) => {
  const overlap = (slope: number) => circleOverlap((0.40397 * slope) / halfWidth);
  const theory = theoryOf(TUBE, splineOf(halfWidth, overlap));
  expect(theory.widening).toBeCloseTo(0.6, 3);
  knotsFor(halfWidth).forEach((slope, n) => {
    expect(theory.shape![n]).toBeCloseTo(overlap(slope), 2);
  });
});

// The widening of tubes that were traced with lamps at 5 to 20 tube lengths.
test.each([
  { gloss: 0.1, widening: 0.52 },
  { gloss: 0.3, widening: 0.24 },
  { gloss: 0.5, widening: 0.08 },
  { gloss: 0.8, widening: 0.02 },
])('walls of gloss $gloss are known by their half width', ({ gloss, widening }) => {
  const passes = (slope: number) => mirrorTransmission(slope, TUBE, { index: 1.5, extinction: 0, gloss });
  let halfWidth = BLACK;
  while (passes(halfWidth) > 0.5) halfWidth *= 1.001;
  const theory = theoryOf(TUBE, splineOf(halfWidth, passes));
  expect(Math.abs(theory.widening - widening)).toBeLessThan(0.1);
  knotsFor(halfWidth).forEach((slope, n) => {
    expect(theory.shape![n]).toBeCloseTo(passes(slope), 2);
  });
});
