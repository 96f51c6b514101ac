import { expect, test } from 'vitest';
import { thin } from './thin.js';

const upTo = (count: number) => Array.from({ length: count }, (_, i) => i);

test.each([
  { count: 5, most: 10, left: [0, 1, 2, 3, 4] },
  { count: 3, most: 3, left: [0, 1, 2] },
  { count: 6, most: 3, left: [0, 3, 4] },
  { count: 7, most: 3, left: [0, 4, 5] },
  { count: 0, most: 3, left: [] },
])('keeps $left of $count at $most at most', ({ count, most, left }) => {
  expect(thin(upTo(count), most)).toEqual(left);
});

test.each([1001, 5000, 40_000])(
  'of %d: one from each stretch, from all columns of an array alike',
  (count) => {
    const left = thin(upTo(count), 1000);
    left.forEach((at, n) => {
      expect(Math.floor((at + 0.5) / (count / 1000))).toBeGreaterThanOrEqual(n - 1);
      expect(at).toBeLessThan(((n + 1) * count) / 1000);
    });
    expect(new Set(left).size).toBe(1000);
    const perColumn = new Array<number>(20).fill(0);
    for (const at of left) perColumn[at % 20]++;
    expect(Math.min(...perColumn)).toBeGreaterThan(40);
  },
);
