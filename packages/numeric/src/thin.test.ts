import { expect, test } from 'vitest';
import { thin } from './thin.js';

const upTo = (count: number) => Array.from({ length: count }, (_, i) => i);

test.each([
  { count: 5, most: 10, left: [0, 1, 2, 3, 4] },
  { count: 6, most: 3, left: [0, 2, 4] },
  { count: 7, most: 3, left: [0, 3, 5] },
  { count: 0, most: 3, left: [] },
])('keeps $left of $count at $most at most', ({ count, most, left }) => {
  expect(thin(upTo(count), most)).toEqual(left);
});
