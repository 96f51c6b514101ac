import { solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { fillTerms, normalOf, sumOfTerms, surfaceTerms } from './polynomial.js';

test.each([
  [0, 1],
  [1, 3],
  [2, 6],
  [3, 10],
])('degree %d has %d terms', (degree, terms) => {
  expect(surfaceTerms(degree)).toBe(terms);
});

test('fillTerms: by growing order, x before y, and nothing else is touched', () => {
  const [x, y] = [2, 3];
  const into = new Float64Array(12).fill(-1);
  fillTerms(x, y, 3, into, 1);
  expect([...into]).toEqual([-1, 1, x, y, x * x, x * y, y * y, x ** 3, x * x * y, x * y * y, y ** 3, -1]);
});

describe('normalOf', () => {
  const DEGREE = 2;
  const SIZE = surfaceTerms(DEGREE);
  const PLACES = Array.from({ length: 20 }, (_, n) => [(n % 5) - 2, Math.floor(n / 5) - 1.5] as const);
  const rows = new Float64Array(PLACES.length * SIZE);
  PLACES.forEach(([x, y], n) => {
    fillTerms(x, y, DEGREE, rows, n * SIZE);
  });
  const weights = Float64Array.from(PLACES, (_, n) => 0.5 + (n % 3));

  test('values on two polynomials give these back, whatever the weights; a point without weight counts for nothing', () => {
    const [one, other] = [Float64Array.of(3, -1, 2, 0.5, -0.25, 1), Float64Array.of(0, 4, 0, -2, 1, 0.5)];
    const [values, others] = [one, other].map((polynomial) =>
      Float64Array.from(PLACES, (_, n) => sumOfTerms(polynomial, rows, n * SIZE)),
    ) as [Float64Array, Float64Array];
    const partly = weights.slice();
    partly[7] = 0;
    values[7] = 1000;
    const { square, sides } = normalOf(rows, SIZE, partly, [values, others]);
    const solved = solve(square, sides);
    one.forEach((value, n) => {
      expect(solved.get(n, 0)).toBeCloseTo(value, 9);
      expect(solved.get(n, 1)).toBeCloseTo(other[n], 9);
    });
  });

  test('the matrix is the weighted sum of products, both triangles', () => {
    const { square } = normalOf(rows, SIZE, weights, []);
    for (let a = 0; a < SIZE; a++) {
      for (let b = 0; b < SIZE; b++) {
        const expected = PLACES.reduce(
          (sum, _, n) => sum + weights[n] * rows[n * SIZE + a] * rows[n * SIZE + b],
          0,
        );
        expect(square.get(a, b)).toBeCloseTo(expected, 9);
      }
    }
  });
});
