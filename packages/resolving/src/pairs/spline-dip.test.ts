import { pairDip } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { gaussianSpline, knotsFor, valueAt } from '../response/radial-spline.js';
import { splineDip } from './spline-dip.js';

describe('splineDip', () => {
  // A cone over the unit radius: two of them δ apart (δ < 1) sum to 2 − δ all the way between, peak 2 − δ: no dip;
  // beyond, the valley is 2 − δ and the peak 1.
  test.each([
    { slope: 0, dip: 0 },
    { slope: 0.7, dip: 0 },
    { slope: 1, dip: 0 },
    { slope: 1.25, dip: 0.25 },
    { slope: 1.6, dip: 0.6 },
    { slope: 2, dip: 1 },
    { slope: 3, dip: 1 },
  ])('two cones $slope apart', ({ slope, dip }) => {
    const knots = knotsFor(1 / 8.5);
    const cone = { knots, values: knots.map((knot) => 1 - knot / knots.at(-1)!) };
    expect(splineDip(cone, slope)).toBeCloseTo(dip, 9);
  });

  test('is what a search along the line finds', () => {
    const spline = gaussianSpline(1);
    for (const slope of [1.5, 1.9, 2.3, 3, 4.5]) {
      const searched = pairDip((along) => valueAt(spline, Math.abs(along)), slope, 2).dip;
      expect(Math.abs(splineDip(spline, slope) - searched)).toBeLessThan(1e-6);
    }
  });
});
