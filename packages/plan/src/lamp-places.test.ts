import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { fewLampPlaces, type LampPlace, thirdsPlaces, trianglePlaces } from './lamp-places.js';
import { FEW_LAMPS_SHARE } from './tuning.js';

const DISTANCE_MM = 1500;

function arrayOf(change: Partial<ArraySpec>): ArraySpec {
  return {
    name: 'Panel',
    arrangement: 'square',
    rows: 16,
    columns: 20,
    tubeLengthMm: 150,
    tubeBoreMm: 2.6,
    backPitchMm: 3,
    frontPitchMm: 3.5,
    ...change,
  };
}

/** How many tubes see three of the lamps at least, counted from the array's drawing: straight lines through both ends of each tube. */
function seeing(array: ArraySpec, lamps: readonly LampPlace[]): number {
  const { rows, columns, backPitchMm, frontPitchMm, tubeLengthMm, tubeBoreMm } = array;
  // What a tube sees at that distance is a disc: a black tube goes dark at bore ÷ length off its axis.
  const reach = (DISTANCE_MM * tubeBoreMm) / tubeLengthMm;
  const grown = 1 + DISTANCE_MM / tubeLengthMm;
  const spacing = grown * frontPitchMm - (grown - 1) * backPitchMm;
  let tubes = 0;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [x, y] = [spacing * (column - (columns - 1) / 2), spacing * ((rows - 1) / 2 - row)];
      if (lamps.filter(({ acrossMm, upMm }) => Math.hypot(acrossMm - x, upMm - y) < reach).length >= 3)
        tubes++;
    }
  }
  return tubes;
}

const heights = (places: readonly LampPlace[]) => new Set(places.map(({ upMm }) => upMm)).size;

describe('nine lamps of a short evening', () => {
  const cases = [100, 150, 190].flatMap((tubeLengthMm) =>
    [1.8, 2.6, 3.2].flatMap((tubeBoreMm) =>
      [0.1, 0.5, 0.9, 2].flatMap((wider) =>
        [8, 16, 32].map((rows) =>
          arrayOf({
            rows,
            columns: Math.round(1.25 * rows),
            tubeLengthMm,
            tubeBoreMm,
            backPitchMm: tubeBoreMm + 0.4,
            frontPitchMm: tubeBoreMm + 0.4 + wider,
          }),
        ),
      ),
    ),
  );

  test('stand in the pattern that more black tubes see three of, in triangles where it is the same', () => {
    let [grids, triangles] = [0, 0];
    for (const array of cases) {
      const even = seeing(array, thirdsPlaces(array, DISTANCE_MM, FEW_LAMPS_SHARE));
      const grouped = seeing(array, trianglePlaces(array, DISTANCE_MM));
      // Rounding to a millimetre decides where the counts are all but the same.
      if (Math.abs(even - grouped) <= 2 && even !== grouped) continue;
      const isGrid = even > grouped || even === array.rows * array.columns;
      expect(heights(fewLampPlaces(array, DISTANCE_MM)) === 3, JSON.stringify(array)).toBe(isGrid);
      if (isGrid) grids++;
      else triangles++;
    }
    expect(Math.min(grids, triangles)).toBeGreaterThan(5);
  });
});
