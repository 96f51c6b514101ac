import { describe, expect, test } from 'vitest';
import { extraScatter } from './extra-scatter.js';

// Deviations of one size c: their robust standard deviation is 1.482602 c (1/Φ⁻¹(3/4)), so that the extra scatter is
// √((1.482602 c)² − stated²) / size.
const SIGMA = 1.482602218505602;
const ALTERNATING = Array.from({ length: 20 }, (_, i) => (i % 2 ? 0.02 : -0.02));
const all = (value: number) => ALTERNATING.map(() => value);

describe('extraScatter', () => {
  test.each([
    { stated: 0.01, size: 1 },
    { stated: 0.025, size: 1 },
    { stated: 0.01, size: 3 },
  ])('$stated stated, size $size', ({ stated, size }) => {
    const extra = extraScatter(ALTERNATING, all(stated), all(size));
    expect(Math.abs(extra - Math.sqrt((SIGMA * 0.02) ** 2 - stated ** 2) / size)).toBeLessThan(1e-9);
  });

  test('stated uncertainties that suffice get nothing added', () => {
    expect(extraScatter(ALTERNATING, all(0.03), all(1))).toBe(0);
    expect(extraScatter(all(0), all(0.03), all(1))).toBe(0);
    expect(extraScatter([], [], [])).toBe(0);
  });

  test('a few wild values don’t matter', () => {
    const wild = ALTERNATING.map((value, i) => (i < 4 ? 5 : value));
    expect(extraScatter(wild, all(0.01), all(1))).toBe(extraScatter(ALTERNATING, all(0.01), all(1)));
  });

  test.each([
    [[1, 2], [1], [1, 1], /^deviations, stated and sizes must/],
    [[1, 2], [1, 0], [1, 1], /^stated\[1\] must/],
  ])('%j, %j, %j is refused', (deviations, stated, sizes, message) => {
    expect(() => extraScatter(deviations, stated, sizes)).toThrow(message);
  });
});
