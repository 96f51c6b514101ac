import type { ArraySpec, Fault } from '@twolamp/session';
import { expect, test } from 'vitest';
import { implausibleLight } from './implausible.js';

const ARRAY: ArraySpec = {
  name: 'Panel',
  arrangement: 'square',
  rows: 5,
  columns: 8,
  tubeLengthMm: 120,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 3.9,
};
const CELLS = 40;
const SIGMA = new Float64Array(CELLS).fill(0.01);
/** Spread evenly over 1 ± half: its median absolute deviation is half / 2, × 1.4826. */
const spread = (half: number) =>
  Float64Array.from({ length: CELLS }, (_, k) => 1 + half * ((2 * k) / 39 - 1));
const HEALTHY: Fault[] = Array(CELLS).fill('none');
const withOne = (value: number) => spread(0.1).map((one, k) => (k === 9 ? value : one));

test.each<[string, Float64Array, Float64Array, string[]]>([
  ['ordinary light', spread(0.1), SIGMA, []],
  ['a blocked tube', withOne(0.001), SIGMA, []],
  ['below zero by its noise', withOne(-0.08), new Float64Array(CELLS).fill(0.02), []],
  ['below zero beyond its noise', withOne(-0.3), SIGMA, ['light-negative']],
  ['a scatter of 37 %', spread(0.5), SIGMA, []],
  ['a scatter of 67 %', spread(0.9), SIGMA, ['light-scattered']],
])('%s', (_, relative, sigma, codes) => {
  expect(implausibleLight(ARRAY, relative, sigma, HEALTHY).map(({ code }) => code)).toEqual(codes);
});

test('names the cells below zero', () => {
  expect(implausibleLight(ARRAY, withOne(-0.3), SIGMA, HEALTHY)[0]).toMatchObject({
    values: { negative: 1, lowest: -0.3, first: [{ cell: 10, row: 2, column: 2 }] },
  });
});

test('faulty tubes may scatter as they like', () => {
  expect(implausibleLight(ARRAY, spread(0.9), SIGMA, Array(CELLS).fill('weak'))).toEqual([]);
});
