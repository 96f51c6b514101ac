import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { firstRoot } from './first-root.js';

describe('firstRoot', () => {
  test('finds the smallest of known roots', () => {
    // a(u + p)(u − q)((u − m)² + w) with p, q > 0: the only root above 0 is q.
    const positive = fc.double({ min: 0.01, max: 50, noNaN: true });
    const anywhere = fc.double({ min: -50, max: 50, noNaN: true });
    fc.assert(
      fc.property(positive, positive, anywhere, positive, positive, (p, q, m, w, scale) => {
        const [b0, b1] = [-p * q, p - q];
        const [c0, c1] = [m * m + w, -2 * m];
        const coefficients = [b0 * c0, b0 * c1 + b1 * c0, b0 + b1 * c1 + c0, b1 + c1, 1];
        const [a0, a1, a2, a3, a4] = coefficients.map((a) => a * scale);
        expect(Math.abs(firstRoot(a0, a1, a2, a3, a4, 1000) / q - 1)).toBeLessThan(1e-5);
        expect(firstRoot(a0, a1, a2, a3, a4, q * 0.99)).toBe(Infinity);
      }),
    );
  });

  test('takes the first of three', () => {
    // (u + 1)(u − 1)(u − 2)(u − 3) = −6 + 5u + 5u² − 5u³ + u⁴
    expect(Math.abs(firstRoot(-6, 5, 5, -5, 1, 100) - 1)).toBeLessThan(1e-9);
  });

  test.each([
    ['a parabola, (u + 1)(u − 3)', [-3, -2, 1, 0, 0], 3],
    ['a straight line, u − 4', [-4, 1, 0, 0, 0], 4],
    ['a falling line never rises', [-4, -1, 0, 0, 0], Infinity],
    ['a constant below 0', [-4, 0, 0, 0, 0], Infinity],
  ])('%s', (_, [a0, a1, a2, a3, a4], root) => {
    expect(firstRoot(a0, a1, a2, a3, a4, 100)).toBeCloseTo(root, 12);
  });
});
