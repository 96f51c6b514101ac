import { expect, test } from 'vitest';
import { barePixels, type Region, somePixels, usablePixels } from './region.js';

const region: Region = {
  width: 10,
  height: 4,
  counted: 11,
  runs: Int32Array.of(2, 6, 13, 14, 30, 36),
  pairs: { start: new Int32Array(1), second: new Int32Array() },
};
const counted = [2, 3, 4, 5, 13, 30, 31, 32, 33, 34, 35];

test.each([1, 2, 3, 5, 20])('every %d-th of the counted pixels', (stride) => {
  expect([...somePixels(region, stride)]).toEqual(counted.filter((_, n) => n % stride === 0));
});

test('usable are the counted pixels without a clipped one', () => {
  const usable = (clipped: Float32Array | null) =>
    [...usablePixels(region, clipped).keys()].filter((at) => usablePixels(region, clipped)[at] === 1);
  expect(usable(null)).toEqual(counted);
  const clipped = new Float32Array(40);
  clipped.set([0.2, 1], 4);
  clipped[20] = 1;
  expect(usable(clipped)).toEqual(counted.filter((at) => at !== 4 && at !== 5));
});

test('bare are the counted pixels that nothing marks', () => {
  const marked = new Uint8Array(40).fill(1, 3, 32);
  expect([...barePixels(region, marked)]).toEqual([2, 32, 33, 34, 35]);
});
