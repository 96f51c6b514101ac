import { describe, expect, test } from 'vitest';
import { orderOf } from './order-of.js';

describe('order of numbers', () => {
  test.each([
    { name: 'none', values: [], order: [] },
    { name: 'equal ones stay as they came', values: [2, 1, 2, 1], order: [1, 3, 0, 2] },
    { name: 'both signs', values: [0.5, -1, -0.25, 3, -2], order: [4, 1, 2, 0, 3] },
    { name: 'very small and large', values: [1e-40, 3e38, -1e-40, -3e38, 0], order: [3, 2, 4, 0, 1] },
  ])('$name', ({ values, order }) => {
    expect([...orderOf(Float32Array.from(values))]).toEqual(order);
  });

  test('as the language’s own sort, for numbers of all sizes', () => {
    const values = Float32Array.from({ length: 5000 }, (_, n) => Math.sin(n) * 10 ** ((n % 60) - 30));
    expect(Array.from(orderOf(values), (at) => values[at])).toEqual([...values.slice().sort()]);
  });
});
