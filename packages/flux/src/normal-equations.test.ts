import { seededRandom } from '@twolamp/optics';
import { inverse, Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import type { CellsOnPicture } from './cells-on-picture.js';
import { cellEquations, paint } from './normal-equations.js';
import { overlappingPairs } from './overlapping-pairs.js';
import { inverseDiagonal, solveNormal } from './solve-normal.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps } from './stamps.js';

const PITCH = 9;
const [ROWS, COLUMNS, WIDTH, HEIGHT] = [5, 6, 70, 58];
const COUNT = ROWS * COLUMNS;
const random = seededRandom(12);

/** Cells whose spots overlap a good deal, a bit out of place. */
const cells: CellsOnPicture = {
  x: Float64Array.from({ length: COUNT }, (_, k) => 11 + (k % COLUMNS) * PITCH + 0.5 * random.normal()),
  y: Float64Array.from(
    { length: COUNT },
    (_, k) => 10 + Math.floor(k / COLUMNS) * PITCH + 0.5 * random.normal(),
  ),
  toPitch: Float64Array.from({ length: 4 * COUNT }, (_, n) => (n % 4 === 0 || n % 4 === 3 ? 1 / PITCH : 0)),
  area: new Float64Array(COUNT).fill(PITCH * PITCH),
  shade: new Float64Array(2 * COUNT),
  pitchPx: PITCH,
  unit: 1,
};
const stamps = makeStamps(cells, () => roundProfile(0.4, 0.09), WIDTH, HEIGHT);
const weights = Float32Array.from({ length: WIDTH * HEIGHT }, () => 0.5 + random.uniform());
// Some pixels don't count.
for (let at = 0; at < weights.length; at += 11) weights[at] = 0;

/** The same profiles as a dense matrix, pixels × cells, by the paint of one cell at a time. */
const dense = (() => {
  const matrix = Matrix.zeros(WIDTH * HEIGHT, COUNT);
  for (let k = 0; k < COUNT; k++) {
    for (let at = stamps.start[k]; at < stamps.start[k + 1]; at++) {
      const within = at - stamps.start[k];
      const x = stamps.left[k] + (within % stamps.width[k]);
      const y = stamps.top[k] + Math.floor(within / stamps.width[k]);
      matrix.set(y * WIDTH + x, k, stamps.values[at]);
    }
  }
  return matrix;
})();
const weighted = Matrix.from1DArray(
  WIDTH * HEIGHT,
  COUNT,
  dense.to1DArray().map((value, n) => value * weights[Math.floor(n / COUNT)]),
);
const denseNormal = dense.transpose().mmul(weighted);
const blank = new Float32Array(WIDTH * HEIGHT);
const pairs = overlappingPairs(cells);
const matrixOf = (weights: Float32Array) =>
  cellEquations(stamps, pairs, { width: WIDTH, height: HEIGHT, data: blank, weights }).matrix;
const sparse = matrixOf(weights);
/** First and second cell of each pair. */
const listed = Array.from({ length: COUNT }, (_, k) =>
  Array.from(pairs.second.subarray(pairs.start[k], pairs.start[k + 1]), (other) => [k, other] as const),
).flat();
const farthest = (a: ArrayLike<number>, b: ArrayLike<number>) =>
  Math.max(...Array.from(a, (value, n) => Math.abs(value - b[n])));

test('pairs: all cells whose profiles share a pixel, each pair once, and none far apart', () => {
  const found = listed.map((pair) => `${pair}`);
  expect(new Set(found).size).toBe(found.length);
  for (let a = 0; a < COUNT; a++) {
    for (let b = a + 1; b < COUNT; b++) {
      if (denseNormal.get(a, b) !== 0) expect(found).toContain(`${a},${b}`);
      const pitches = Math.hypot(cells.x[a] - cells.x[b], cells.y[a] - cells.y[b]) / PITCH;
      if (pitches > 2.5) expect(found).not.toContain(`${a},${b}`);
    }
  }
});

describe('against dense matrices', () => {
  // Sums of some hundred products of single-precision values.
  const close = 1e-9;

  test('the normal matrix', () => {
    expect(farthest(sparse.diagonal, denseNormal.diagonal())).toBeLessThan(close);
    const products = listed.map(([k, other]) => denseNormal.get(k, other));
    expect(farthest(sparse.product, products)).toBeLessThan(close);
    const left = denseNormal.clone();
    for (const [k, other] of listed) {
      left.set(k, other, 0);
      left.set(other, k, 0);
    }
    expect(left.sum() - left.trace()).toBe(0);
  });

  test('its projection of a picture, and the picture of its lights', () => {
    const picture = Float32Array.from({ length: WIDTH * HEIGHT }, () => random.normal());
    const projected = weighted.transpose().mmul(Matrix.columnVector(Array.from(picture)));
    const image = { width: WIDTH, height: HEIGHT, data: picture, weights };
    expect(farthest(cellEquations(stamps, pairs, image).right, projected.to1DArray())).toBeLessThan(close);
    const flux = Float64Array.from({ length: COUNT }, () => random.uniform());
    const painted = new Float32Array(WIDTH * HEIGHT).fill(2);
    paint(stamps, flux, painted, WIDTH);
    const expected = dense.mmul(Matrix.columnVector(Array.from(flux))).to1DArray();
    // Kept in single precision, on top of 2.
    expect(
      farthest(
        painted,
        expected.map((value) => value + 2),
      ),
    ).toBeLessThan(1e-6);
  });

  test('its solution, by ml-matrix’s general solver', () => {
    const right = Float64Array.from({ length: COUNT }, () => random.normal());
    const { values, stopped } = solveNormal(sparse, right);
    expect(stopped).toBe('converged');
    const expected = solve(denseNormal, Matrix.columnVector(Array.from(right))).to1DArray();
    expect(farthest(values, expected)).toBeLessThan(1e-7 * Math.max(...expected.map(Math.abs)));
  });

  // With unit diagonal and couplings that add up to r < 1 a row, the inverse is a series of paths from cell to cell.
  // What stays among a cell's own neighbours is in its block; the shortest path that leaves it has four steps, so that
  // r⁴ / (1 − r) bounds what is neglected.
  test('the diagonal of its inverse, but for paths that leave the neighbours', () => {
    const scaled = (r: number, c: number) =>
      Math.abs(denseNormal.get(r, c)) / Math.sqrt(denseNormal.get(r, r) * denseNormal.get(c, c));
    const couplings = Array.from({ length: COUNT }, (_, r) =>
      Array.from({ length: COUNT }, (_, c) => (r === c ? 0 : scaled(r, c))).reduce(
        (sum, value) => sum + value,
        0,
      ),
    );
    const most = Math.max(...couplings);
    expect(most).toBeLessThan(0.5);
    const bound = most ** 4 / (1 - most);
    const exact = inverse(denseNormal).diagonal();
    const misses = Array.from(inverseDiagonal(sparse), (value, k) => Math.abs(value / exact[k] - 1));
    expect(Math.max(...misses)).toBeLessThan(bound);
    // And the couplings do count.
    expect(Math.max(...exact.map((value, k) => value * denseNormal.get(k, k) - 1))).toBeGreaterThan(
      3 * bound,
    );
  });
});

test('a cell whose pixels don’t count has no light and no certainty', () => {
  const blind = weights.slice();
  for (let at = stamps.start[8]; at < stamps.start[9]; at++) {
    const within = at - stamps.start[8];
    blind[
      (stamps.top[8] + Math.floor(within / stamps.width[8])) * WIDTH +
        stamps.left[8] +
        (within % stamps.width[8])
    ] = 0;
  }
  const matrix = matrixOf(blind);
  const { values } = solveNormal(matrix, new Float64Array(COUNT).fill(1));
  expect(values[8]).toBe(0);
  expect(values.every(Number.isFinite)).toBe(true);
  expect(inverseDiagonal(matrix)[8]).toBe(Number.POSITIVE_INFINITY);
});

test('nothing to solve for is solved at once', () => {
  expect(solveNormal(sparse, new Float64Array(COUNT))).toEqual({
    values: new Float64Array(COUNT),
    stopped: 'converged',
  });
});
