import { expect, test } from 'vitest';
import { halfMaximum } from './half-maximum.js';

test.each([
  { name: 'a triangle', values: [0, 1, 2, 1, 0], low: 1, high: 3 },
  { name: 'between the samples', values: [0, 4, 0, 0, 0], low: 0.5, high: 1.5 },
  { name: 'the first fall counts, not a second hump', values: [0, 4, 0, 3, 0], low: 0.5, high: 1.5 },
  { name: 'no fall before the end', values: [3, 4, 4, 3, 3], low: 0, high: 4 },
])('halfMaximum: $name', ({ values, low, high }) => {
  expect(halfMaximum(Float64Array.of(0, 1, 2, 3, 4), Float64Array.from(values))).toEqual({ low, high });
});
