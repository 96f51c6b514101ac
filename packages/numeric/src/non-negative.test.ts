import { Matrix } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { solveNonNegative } from './non-negative.js';

describe('solveNonNegative', () => {
  const square = new Matrix([
    [2, 1],
    [1, 2],
  ]);
  test.each([
    { side: [4, 5], solution: [1, 2], why: 'inside: A⁻¹·b' },
    {
      side: [1, 4],
      solution: [0, 2],
      why: 'A⁻¹·b = (−2/3, 7/3) lies outside; on x = 0 the minimum is b₂ ÷ 2',
    },
    { side: [-1, -1], solution: [0, 0], why: 'both pull below 0' },
  ])('$side gives $solution ($why)', ({ side, solution }) => {
    solveNonNegative(square, Matrix.columnVector(side)).forEach((value, n) => {
      expect(value).toBeCloseTo(solution[n], 10);
    });
  });
});
