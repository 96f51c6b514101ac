import { describe, expect, test } from 'vitest';
import { haloLight } from './halo.js';

describe('haloLight', () => {
  const sources = [
    { middle: { acrossMm: 1.3, upMm: -0.4 }, light: 5, radiusMm: 1.25 },
    { middle: { acrossMm: -3, upMm: 2 }, light: 2, radiusMm: 1.25 },
    { middle: { acrossMm: 6, upMm: 0 }, light: 0, radiusMm: 1.25 },
  ];

  test('carries the stated share of the light', () => {
    const light = haloLight(sources, 0.08, 1.5);
    let sum = 0;
    const step = 0.2;
    for (let x = -20; x <= 20; x += step) {
      for (let y = -20; y <= 20; y += step) sum += light({ acrossMm: x, upMm: y }) * step * step;
    }
    // Cut off at 9 scales: (1 + 9)·e⁻⁹ = 0.12 % is missing; the grid's straight lines cost less than that.
    expect(Math.abs(sum / (0.08 * 7) - 1)).toBeLessThan(3e-3);
  });

  test('falls e-fold in one scale, far from a small source', () => {
    const light = haloLight([{ middle: { acrossMm: 0, upMm: 0 }, light: 1, radiusMm: 0.01 }], 0.1, 2);
    // Straight lines between the nodes, a third of a scale apart, lie up to 1.4 % high on an exponential.
    expect(light({ acrossMm: 8, upMm: 0 }) / light({ acrossMm: 6, upMm: 0 })).toBeCloseTo(Math.exp(-1), 2);
  });

  test('no share, no light', () => {
    expect(haloLight(sources, 0, 1.5)({ acrossMm: 1, upMm: 0 })).toBe(0);
  });
});
