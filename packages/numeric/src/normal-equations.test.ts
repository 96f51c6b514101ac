import { solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { equationsOf, NormalEquations, solveEquations } from './normal-equations.js';
import { fillTerms, sumOfTerms, surfaceTerms } from './polynomial.js';

const DEGREE = 2;
const SIZE = surfaceTerms(DEGREE);
const PLACES = Array.from({ length: 20 }, (_, n) => [(n % 5) - 2, Math.floor(n / 5) - 1.5] as const);
const rows = new Float64Array(PLACES.length * SIZE);
PLACES.forEach(([x, y], n) => {
  fillTerms(x, y, DEGREE, rows, n * SIZE);
});
const weights = Float64Array.from(PLACES, (_, n) => 0.5 + (n % 3));

describe('equationsOf', () => {
  test('values on a polynomial give it back, whatever the weights; a point without weight counts for nothing', () => {
    const polynomial = Float64Array.of(3, -1, 2, 0.5, -0.25, 1);
    const values = Float64Array.from(PLACES, (_, n) => sumOfTerms(polynomial, rows, n * SIZE));
    const partly = weights.slice();
    partly[7] = 0;
    values[7] = Number.NaN;
    const equations = equationsOf(rows, SIZE, partly, values);
    const solved = solve(equations.matrix(), equations.column());
    polynomial.forEach((value, n) => {
      expect(solved.get(n, 0)).toBeCloseTo(value, 9);
    });
  });

  test('the matrix is the weighted sum of products, both triangles', () => {
    const square = equationsOf(rows, SIZE, weights, weights).matrix();
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

test('a prior and one reading average by their weights', () => {
  const equations = new NormalEquations(1);
  equations.add([2], 3, 10); // 2·x = 10, weight 3: x = 5 with weight 12
  equations.addPrior(0, 4, 1);
  expect(solve(equations.matrix(), equations.column()).get(0, 0)).toBeCloseTo((12 * 5 + 4 * 1) / 16, 12);
});

test('addAll counts rows as often as asked', () => {
  const [once, total, rowByRow] = [new NormalEquations(2), new NormalEquations(2), new NormalEquations(2)];
  once.add([1, 2], 0.5, 3);
  total.addAll(once, 3);
  for (let n = 0; n < 3; n++) rowByRow.add([1, 2], 0.5, 3);
  expect(total).toEqual(rowByRow);
  total.clear();
  expect(total).toEqual(new NormalEquations(2));
});

test('addTransformed takes rows of other parameters: the same as their rows times the matrix', () => {
  const matrix = [1, 0.5, 0, 2, -1, 0.25, 0, 3, 1];
  const others = [
    [1, 2, 0],
    [0, -1, 4],
  ];
  const [through, direct, other] = [3, 3, 3].map((size) => new NormalEquations(size));
  others.forEach((row, n) => {
    other.add(row, 1 + n, 5 - n);
    const own = [0, 1, 2].map((j) => row.reduce((sum, value, k) => sum + value * matrix[3 * k + j], 0));
    direct.add(own, 1 + n, 5 - n);
  });
  through.addTransformed(other, matrix);
  through.lower.forEach((value, n) => {
    expect(value).toBeCloseTo(direct.lower[n], 12);
  });
  through.side.forEach((value, n) => {
    expect(value).toBeCloseTo(direct.side[n], 12);
  });
});

test('what the rows leave open gets the solution of least norm', () => {
  // x + y = 2 alone.
  const equations = new NormalEquations(2);
  equations.add([1, 1], 1, 2);
  const found = solveEquations(equations);
  expect(found[0]).toBeCloseTo(1, 9);
  expect(found[1]).toBeCloseTo(1, 9);
});
