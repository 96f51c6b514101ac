import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../test/reference-table.js';
import { equationsOf, solveEquations } from './normal-equations.js';

/** Least squares of y on a few functions of x: the factors, and the sum of squared residuals. */
function regress(name: string, functions: readonly ((x: number) => number)[]) {
  const points = referenceTable(`nist-strd-${name}.csv`).map(({ x, y }) => [Number(x), Number(y)] as const);
  const rows = Float64Array.from(points.flatMap(([x]) => functions.map((at) => at(x))));
  const targets = points.map(([, y]) => y);
  const equations = equationsOf(rows, functions.length, new Float64Array(points.length).fill(1), targets);
  const factors = Array.from(solveEquations(equations));
  const fitted = (n: number) =>
    factors.reduce((sum, factor, m) => sum + factor * rows[n * factors.length + m], 0);
  const squares = targets.reduce((sum, y, n) => sum + (y - fitted(n)) ** 2, 0);
  return { factors, squares, count: points.length };
}

/** Relative difference of each value from the certified one, the largest. */
const worst = (values: readonly number[], certified: readonly number[]): number =>
  Math.max(...values.map((value, n) => Math.abs(value / certified[n] - 1)));

// Norris: certified values of NIST/ITL Statistical Reference Datasets, linear regression (datasets/reference).
test('Norris: a straight line to 9 certified digits', () => {
  const { factors, squares, count } = regress('norris', [() => 1, (x) => x]);
  expect(count).toBe(36);
  expect(worst(factors, [-0.262323073774029, 1.00211681802045])).toBeLessThan(1e-9);
  expect(Math.abs(squares / 26.6173985294224 - 1)).toBeLessThan(1e-9);
});

// Gauss1 to 3: certified values of NIST/ITL Statistical Reference Datasets, non-linear regression. With rate, places and widths at
// their certified values (11 digits), the three heights are a linear problem whose solution is certified as well.
describe.each(['gauss1', 'gauss2', 'gauss3'])('%s: three heights', (name) => {
  const file = new URL(`../../../datasets/reference/nist-strd-${name}.json`, import.meta.url);
  const { certified, residual_sum_of_squares: known, n } = JSON.parse(readFileSync(file, 'utf8'));
  const [b1, rate, b3, place1, width1, b6, place2, width2] = certified;

  test('to 8 certified digits', () => {
    const { factors, squares, count } = regress(name, [
      (x) => Math.exp(-rate * x),
      (x) => Math.exp(-(((x - place1) / width1) ** 2)),
      (x) => Math.exp(-(((x - place2) / width2) ** 2)),
    ]);
    expect(count).toBe(n);
    expect(worst(factors, [b1, b3, b6])).toBeLessThan(1e-8);
    expect(Math.abs(squares / known - 1)).toBeLessThan(1e-8);
  });
});
