import { describe, expect, test } from 'vitest';
import { absorbingAcceptance } from '../tube/absorbing-acceptance.js';
import type { Acceptance } from '../tube/acceptance.js';
import { blurredAcceptance } from './blurred-acceptance.js';

const TUBE = { boreMm: 2.6, lengthMm: 150 };

/** Radial and normal, of standard deviation s along each axis. */
const normal = (s: number): Acceptance => ({
  ...absorbingAcceptance(TUBE),
  at: (across, up) => Math.exp(-(across * across + up * up) / (2 * s * s)),
});

describe('blurredAcceptance', () => {
  // A normal shape blurred by normal scatter stays normal: variances add, the top falls to s² ÷ (s² + σ²).
  test.each([
    [0.006, 0.002],
    [0.006, 0.006],
    [0.02, 0.003],
  ])('a normal shape of %d blurred by %d', (s, sigma) => {
    const blurred = blurredAcceptance(normal(s), TUBE, sigma);
    const square = s * s + sigma * sigma;
    const top = (s * s) / square;
    for (const slope of [0, 0.5 * s, s, 2 * s]) {
      const expected = top * Math.exp((-slope * slope) / (2 * square));
      // 256 directions leave out what lies beyond 3.5 σ: 0.2 % of the scatter.
      expect(Math.abs(blurred.at(slope, 0) - expected)).toBeLessThan(0.004 * top);
    }
  });

  test('a pointed top loses in proportion to the scatter: the mean of a normal deviate’s length is σ√(π/2)', () => {
    const pointed: Acceptance = { ...normal(1), at: (across, up) => 1 - Math.hypot(across, up) };
    const blurred = blurredAcceptance(pointed, TUBE, 0.004);
    expect(Math.abs((1 - blurred.axial) / (0.004 * Math.sqrt(Math.PI / 2)) - 1)).toBeLessThan(0.01);
  });

  test('no scatter changes nothing; a negative one is refused', () => {
    const acceptance = absorbingAcceptance(TUBE);
    expect(blurredAcceptance(acceptance, TUBE, 0)).toBe(acceptance);
    expect(() => blurredAcceptance(acceptance, TUBE, -1)).toThrow(/^sigma must/);
  });
});
