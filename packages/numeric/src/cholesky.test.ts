import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { solveCholesky } from './cholesky.js';

/** Sines of whole numbers serve as arbitrary, repeatable coefficients. */
const arbitrary = (count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, n) => Math.sin(n * n + 1));

describe('solveCholesky', () => {
  test.each([1, 2, 5, 16])('%i unknowns: the solution that ml-matrix gives', (size) => {
    const root = Matrix.from1DArray(size, size, arbitrary(size * size));
    const square = root.mmul(root.transpose()).add(Matrix.eye(size));
    const side = arbitrary(size);
    const known = new CholeskyDecomposition(square).solve(Matrix.columnVector(side)).to1DArray();
    const solved = side.slice();
    expect(solveCholesky(Float64Array.from(square.to1DArray()), solved)).toBe(true);
    known.forEach((value, n) => {
      expect(solved[n]).toBeCloseTo(value, 9);
    });
  });

  test('the upper triangle is not read', () => {
    const side = Float64Array.of(4, 3);
    expect(solveCholesky(Float64Array.of(4, Number.NaN, 0, 1), side)).toBe(true);
    expect(side).toEqual(Float64Array.of(1, 3));
  });

  test.each([
    ['a zero pivot', [1, 0, 1, 1]],
    ['a negative one', [-1, 0, 0, 1]],
    ['NaN', [Number.NaN, 0, 0, 1]],
  ])('%s is not positive definite', (_, square) => {
    expect(solveCholesky(Float64Array.from(square), new Float64Array(2))).toBe(false);
  });
});
