import { Matrix } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { solvePositive, UnsolvableError } from './solve-positive.js';

describe('solvePositive', () => {
  test('a well-conditioned system is solved as it is', () => {
    // 4x + y = 6, x + 3y = 7: x = 1, y = 2.
    const solved = solvePositive(
      new Matrix([
        [4, 1],
        [1, 3],
      ]),
      Matrix.columnVector([6, 7]),
    );
    expect(Math.abs(solved.get(0, 0) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(solved.get(1, 0) - 2)).toBeLessThan(1e-12);
  });

  test('two columns that are one and the same share the amount', () => {
    const solved = solvePositive(
      new Matrix([
        [1, 1],
        [1, 1],
      ]),
      Matrix.columnVector([2, 2]),
    );
    expect(Math.abs(solved.get(0, 0) - 1)).toBeLessThan(1e-6);
    expect(Math.abs(solved.get(1, 0) - 1)).toBeLessThan(1e-6);
  });

  test.each([
    ['NaN', Number.NaN],
    ['a negative square', -1],
  ])('%s cannot be solved', (_, value) => {
    expect(() => solvePositive(new Matrix([[value]]), Matrix.columnVector([1]))).toThrow(UnsolvableError);
  });
});
