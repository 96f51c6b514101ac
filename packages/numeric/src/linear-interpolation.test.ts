import { describe, expect, test } from 'vitest';
import { interpolate, interpolateEven } from './linear-interpolation.js';

// Answers by hand.
describe('interpolateEven', () => {
  test.each([
    [0, 1],
    [0.25, 1.5],
    [1, 3],
    [1.5, 2],
    [2, 1],
    [-4, 1],
    [7, 1],
  ])('at %d steps', (place, expected) => {
    expect(interpolateEven(Float64Array.of(1, 3, 1), place)).toBe(expected);
  });

  test('no place, no value', () => {
    expect(interpolateEven(Float64Array.of(1, 3), Number.NaN)).toBeNaN();
  });
});

describe('interpolate', () => {
  test.each([
    [-1, 10],
    [0, 10],
    [1, 15],
    [2, 20],
    [2.25, 15],
    [3, 0],
    [9, 0],
  ])('at %d', (at, expected) => {
    expect(interpolate([0, 2, 3], [10, 20, 0], at)).toBe(expected);
  });

  test('two values at one place: the first', () => {
    expect(interpolate([0, 1, 1, 2], [0, 4, 6, 8], 1)).toBe(4);
  });

  test('one value is it everywhere', () => {
    expect([-1, 1, 3].map((at) => interpolate([1], [5], at))).toEqual([5, 5, 5]);
  });
});
