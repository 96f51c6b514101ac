import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { hexagonalArray, testArray } from '../fixtures/draw-cells.js';
import { bestPlacements, coordinatesOf, indicesOf, type LitPoint, spanOf } from './place.js';
import { placeArray, type SpotPoint } from './place-array.js';

const ARRAYS: [string, ArraySpec][] = [
  ['square', testArray(5, 7)],
  ['odd rows shifted', hexagonalArray(5, 7, 'odd')],
  ['even rows shifted', hexagonalArray(6, 4, 'even')],
];

function cellsOf(array: ArraySpec): { row: number; column: number }[] {
  return Array.from({ length: array.rows * array.columns }, (_, k) => ({
    row: Math.floor(k / array.columns) + 1,
    column: (k % array.columns) + 1,
  }));
}

/** Lattice points of the array laid at a place, but for the cells left out. */
function pointsAt(array: ArraySpec, i0: number, j0: number, dark = (_row: number, _column: number) => false) {
  return cellsOf(array)
    .filter(({ row, column }) => !dark(row, column))
    .map(({ row, column }): LitPoint => {
      const [i, j] = indicesOf(array, { i0, j0 }, row, column);
      return { i, j };
    });
}

describe.each(ARRAYS)('%s', (_, array) => {
  test.each([
    [0, 0],
    [-3, 4],
    [5, -7],
  ])('cells laid at %i, %i lie as on the sheet', (i0, j0) => {
    const hexagonal = array.arrangement === 'hexagonal';
    const offset = (row: number) =>
      hexagonal && (row % 2 === 1) === (array.shiftedRows === 'odd') ? 0.5 : 0;
    const coordinates = (row: number, column: number) =>
      coordinatesOf(hexagonal, ...indicesOf(array, { i0, j0 }, row, column));
    const [u1, v1] = coordinates(1, 1);
    for (const { row, column } of cellsOf(array)) {
      const [u, v] = coordinates(row, column);
      expect(u - u1).toBe(column - 1 + offset(row) - offset(1));
      expect(v - v1).toBe(row - 1);
    }
  });

  test('its whole outline fits in one place only', () => {
    const lit = pointsAt(array, -2, 3);
    const { placements, outside } = bestPlacements(array, lit);
    expect(placements).toEqual([{ i0: -2, j0: 3, inside: lit.length }]);
    expect(outside).toBe(0);
    expect(spanOf(array, lit)).toEqual({ rows: array.rows, columns: array.columns });
  });
});

test('a dark last column fits one step to the left as well', () => {
  const array = testArray(5, 7);
  const { placements } = bestPlacements(
    array,
    pointsAt(array, 2, 1, (_, column) => column === 7),
  );
  expect(placements.map(({ i0, j0 }) => [i0, j0])).toEqual([
    [1, 1],
    [2, 1],
  ]);
});

test('dark corners leave no choice', () => {
  const array = hexagonalArray(5, 7, 'odd');
  const corner = (row: number, column: number) => (row < 3 || row > 4) && (column < 3 || column > 5);
  expect(bestPlacements(array, pointsAt(array, 0, 0, corner)).placements).toHaveLength(1);
});

test('points beyond the stated outline are counted', () => {
  const lit = pointsAt(testArray(6, 8), 0, 0);
  expect(bestPlacements(testArray(6, 7), lit).outside).toBe(6);
  expect(bestPlacements(testArray(5, 7), lit).outside).toBe(48 - 35);
});

describe('placeArray', () => {
  const array = testArray(5, 7);
  const toPhoto = (i: number, j: number): [number, number] => [100 + 20 * i, 50 + 20 * j];
  const strong = pointsAt(array, 0, 0, (_, column) => column === 7).map(
    (point): SpotPoint => ({
      ...point,
      strength: 1,
      cut: false,
    }),
  );
  const weakAt = (column: number, rows: readonly number[]): SpotPoint[] =>
    rows.map((row) => ({ i: column - 1, j: row - 1, strength: 0.12, cut: false }));

  test('weak spots decide which rim is the dark one', () => {
    expect(placeArray(array, [...strong, ...weakAt(7, [1, 2, 4])], toPhoto, 'even.png')).toMatchObject({
      i0: 0,
      j0: 0,
    });
    expect(placeArray(array, [...strong, ...weakAt(0, [1, 3, 5])], toPhoto, 'even.png')).toMatchObject({
      i0: -1,
      j0: 0,
    });
  });

  test('two of them are too few to tell from noise: both places are named', () => {
    expect(() => placeArray(array, [...strong, ...weakAt(7, [1, 2])], toPhoto, 'even.png')).toThrow(
      'even.png: 5 × 6 cells found, 5 × 7 stated, and they fit in more than one place: ' +
        'row 1 column 1 may be the place at x 80, y 50 px or the one at x 100, y 50 px; expected ',
    );
  });
});
