import { describe, expect, test } from 'vitest';
import type { ArrayGeometry } from './array.js';
import { axisSlopes, backPlace, frontPlace } from './layout.js';
import { tubeAxis, tubeBack, tubeFront, tubeLayout } from './tube-layout.js';

const square: ArrayGeometry = {
  arrangement: 'square',
  rows: 3,
  columns: 4,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const ARRAYS: [string, ArrayGeometry][] = [
  ['square', square],
  ['hexagonal', { ...square, arrangement: 'hexagonal', shiftedRows: 'odd' }],
];

describe.each(ARRAYS)('a full %s array', (_, array) => {
  test('is numbered as an eye reads, and each tube stands where row and column say', () => {
    const layout = tubeLayout(array);
    expect(layout.count).toBe(12);
    for (let k = 0; k < 12; k++) {
      const [row, column] = [Math.floor(k / 4) + 1, (k % 4) + 1];
      expect([layout.row[k], layout.column[k], layout.at(row, column)]).toEqual([row, column, k]);
      expect(tubeFront(array, k)).toEqual(frontPlace(array, row, column));
      expect(tubeBack(array, k)).toEqual(backPlace(array, row, column));
      expect(tubeAxis(array, k)).toEqual(axisSlopes(array, row, column));
    }
  });

  test.each([
    [0, 1],
    [4, 1],
    [1, 0],
    [2, 5],
  ])('row %i, column %i lies outside', (row, column) => {
    expect(tubeLayout(array).at(row, column)).toBe(-1);
  });
});
