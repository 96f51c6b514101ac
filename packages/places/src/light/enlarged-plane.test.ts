import { expect, test } from 'vitest';
import { enlarged } from './enlarged-plane.js';

// By hand: middles of the enlarged pixels lie at −¼, ¼, ¾ and 1¼ of the plane's; beyond its outermost middles it goes on evenly.
test.each([
  [{ width: 2, height: 1, data: Float32Array.of(0, 1) }, 4, 2, [0, 0.25, 0.75, 1, 0, 0.25, 0.75, 1]],
  [{ width: 1, height: 2, data: Float32Array.of(3, 7) }, 2, 4, [3, 3, 4, 4, 6, 6, 7, 7]],
  [{ width: 2, height: 2, data: Float32Array.of(0, 8, 16, 40) }, 2, 3, [0, 2, 4, 7, 12, 17]],
  [{ width: 1, height: 1, data: Float32Array.of(5) }, 3, 2, [5, 5, 5, 5, 5, 5]],
])('%j twice as large', (plane, width, height, expected) => {
  expect([...enlarged(plane, 2, width, height).data]).toEqual(expected);
});
