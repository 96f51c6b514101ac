import { describe, expect, test } from 'vitest';
import { nearestRising } from './rising.js';

// Answers by hand: a run that falls is replaced by its mean, until nothing falls.
const CASES = [
  { what: 'nothing', values: [], rising: [] },
  { what: 'one value', values: [3], rising: [3] },
  { what: 'a rising run', values: [1, 2, 2, 5], rising: [1, 2, 2, 5] },
  { what: 'a falling run', values: [6, 4, 2], rising: [4, 4, 4] },
  { what: 'one dip', values: [1, 3, 2, 4], rising: [1, 2.5, 2.5, 4] },
  { what: 'a dip that draws in what came before', values: [1, 5, 6, 1, 9], rising: [1, 4, 4, 4, 9] },
  { what: 'two dips', values: [2, 1, 4, 3], rising: [1.5, 1.5, 3.5, 3.5] },
  { what: 'below zero', values: [-1, -3], rising: [-2, -2] },
];

describe('nearestRising', () => {
  test.each(CASES)('$what', ({ values, rising }) => {
    const input = Float64Array.from(values);
    expect(nearestRising(input)).toEqual(Float64Array.from(rising));
    expect(input).toEqual(Float64Array.from(values));
  });
});
