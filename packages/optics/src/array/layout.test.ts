import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { axisSpacingMm } from './axis-spacing.js';
import type { ArrayGeometry } from './array.js';
import { axisSlopes, backPlace, frontPlace, latticePlace } from './layout.js';

const square: ArrayGeometry = {
  arrangement: 'square',
  rows: 3,
  columns: 4,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const hexagonal = (shiftedRows: 'odd' | 'even', rows = 3): ArrayGeometry => ({
  ...square,
  arrangement: 'hexagonal',
  shiftedRows,
  rows,
});

describe('latticePlace', () => {
  const step = Math.sqrt(3) / 2;
  test.each<[string, ArrayGeometry, number, number, number, number]>([
    ['top left of 3 × 4', square, 1, 1, -1.5, 1],
    ['bottom right of 3 × 4', square, 3, 4, 1.5, -1],
    // Even rows shifted: row 1 from 0 to 3, row 2 from ½ to 3½, middle 1¾.
    ['hexagonal, unshifted row', hexagonal('even'), 1, 1, -1.75, step],
    ['hexagonal, shifted row', hexagonal('even'), 2, 4, 1.75, 0],
    ['hexagonal, odd rows shifted', hexagonal('odd'), 1, 4, 1.75, step],
    ['hexagonal, odd rows shifted, row 2', hexagonal('odd'), 2, 1, -1.75, 0],
    ['a single shifted row is centred as well', hexagonal('odd', 1), 1, 1, -1.5, 0],
  ])('%s', (_, array, row, column, across, up) => {
    const place = latticePlace(array, row, column);
    expect(place.across).toBeCloseTo(across, 12);
    expect(place.up).toBeCloseTo(up, 12);
  });

  test('hexagonal neighbours all lie one pitch away', () => {
    const array = hexagonal('even');
    const middle = latticePlace(array, 2, 2);
    for (const [row, column] of [
      [2, 1],
      [2, 3],
      [1, 2],
      [1, 3],
      [3, 2],
      [3, 3],
    ]) {
      const other = latticePlace(array, row, column);
      expect(Math.hypot(other.across - middle.across, other.up - middle.up)).toBeCloseTo(1, 12);
    }
  });

  test('the box of all cells is centred', () => {
    const count = fc.integer({ min: 1, max: 6 });
    const shifted = fc.constantFrom('odd' as const, 'even' as const);
    fc.assert(
      fc.property(count, count, shifted, fc.boolean(), (rows, columns, shiftedRows, isSquare) => {
        const array = { ...(isSquare ? square : hexagonal(shiftedRows)), rows, columns };
        const places = Array.from({ length: rows * columns }, (_, i) =>
          latticePlace(array, Math.floor(i / columns) + 1, (i % columns) + 1),
        );
        for (const axis of ['across', 'up'] as const) {
          const values = places.map((place) => place[axis]);
          expect(Math.min(...values) + Math.max(...values)).toBeCloseTo(0, 12);
        }
      }),
    );
  });
});

describe('axes and apex', () => {
  test('all axes meet at the apex behind the sheet', () => {
    const apex = 375; // similar triangles: 150·3/1.2
    for (const [row, column] of [
      [1, 1],
      [3, 2],
      [2, 4],
    ]) {
      const back = backPlace(square, row, column);
      const front = frontPlace(square, row, column);
      const slopes = axisSlopes(square, row, column);
      expect(back.acrossMm - apex * slopes.across).toBeCloseTo(0, 9);
      expect(back.upMm - apex * slopes.up).toBeCloseTo(0, 9);
      expect(back.acrossMm + square.tubeLengthMm * slopes.across).toBeCloseTo(front.acrossMm, 9);
    }
  });

  test('neighbouring axes in the lamps’ plane are as far apart as the axes are', () => {
    const distanceMm = 1800;
    const [a, b] = [1, 2].map((column) => {
      const { acrossMm } = frontPlace(square, 1, column);
      return acrossMm + distanceMm * axisSlopes(square, 1, column).across;
    });
    expect(axisSpacingMm(square, distanceMm)).toBeCloseTo(b - a, 9);
  });

  test('the axes of a parallel array stay as far apart as they are', () => {
    const parallel = { ...square, frontPitchMm: 3 };
    expect(axisSlopes(parallel, 1, 1)).toEqual({ across: -0, up: 0 });
    expect(axisSpacingMm(parallel, 5000)).toBe(3);
  });

  test('axisSpacingMm names the distance when it is bad', () => {
    expect(() => axisSpacingMm(square, -1)).toThrow(/^distanceMm must be above 0, got -1/);
  });
});
