import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { benjaminiHochberg } from './benjamini-hochberg.js';

// The worked example of the 1995 paper (15 tests); the adjusted values as computed in the table's own source.
const table = readFileSync(new URL('../../../datasets/reference/bh.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(2)
  .map((line) => line.split(',').map(Number));
const P = table.map((line) => line[1]);
const ADJUSTED = table.map((line) => line[3]);

describe('benjaminiHochberg', () => {
  // Counts at the other rates: statsmodels 0.13.5, multipletests, method fdr_bh.
  test.each([
    [0.01, 3],
    [0.05, 4],
    [0.1, 9],
    [0.2, 9],
  ])('the worked example at rate %d: %d discoveries, the smallest p first', (rate, count) => {
    const { found } = benjaminiHochberg(P, rate);
    expect([...found]).toEqual(P.map((_, index) => (index < count ? 1 : 0)));
  });

  test('adjusted values of the worked example, in any order', () => {
    const order = P.map((_, index) => (index * 7) % P.length);
    const { adjusted } = benjaminiHochberg(
      Float64Array.from(order, (index) => P[index]),
      0.05,
    );
    const errors = order.map((index, place) => Math.abs(adjusted[place] - ADJUSTED[index]));
    expect(Math.max(...errors)).toBeLessThan(5e-9);
  });

  test('a missing test counts neither as discovery nor as test', () => {
    const { found, adjusted } = benjaminiHochberg([Number.NaN, ...P, Number.NaN], 0.05);
    expect([...found.slice(1, -1)]).toEqual([...benjaminiHochberg(P, 0.05).found]);
    expect([found[0], adjusted[0]]).toEqual([0, Number.NaN]);
  });

  test('no tests, no discoveries', () => expect(benjaminiHochberg([], 0.05).found).toHaveLength(0));

  test.each([
    [[0.1], 0, /^rate must/],
    [[0.1], Number.NaN, /^rate must/],
    [[0.1, 1.2], 0.05, /^p\[1\] must.*1\.2/],
  ])('p = %j, rate = %d is refused', (p, rate, message) => {
    expect(() => benjaminiHochberg(p, rate)).toThrow(message);
  });
});
