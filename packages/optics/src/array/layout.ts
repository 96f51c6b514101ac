import type { Slopes } from '../slopes.js';
import { type ArrayGeometry, requireArray } from './array.js';

/** Seen from the back: across grows to the right, up upwards, from the middle of the array. */
export interface Place {
  readonly acrossMm: number;
  readonly upMm: number;
}

const ROW_STEP_HEXAGONAL = Math.sqrt(3) / 2;

/** Distance between rows in pitches: 1, or √3/2 in a hexagonal array and, on average, in a packed one. */
export function rowStep(array: ArrayGeometry): number {
  return array.arrangement === 'square' ? 1 : ROW_STEP_HEXAGONAL;
}

/** Share of a pitch by which a row sits to the right: 0 or ½. */
export function rowShift(array: ArrayGeometry, row: number): number {
  if (array.arrangement === 'square') return 0;
  return (row % 2 === 1) === (array.shiftedRows === 'odd') ? 0.5 : 0;
}

/**
 * Place of a cell in pitches, from the middle of the box that bounds all cells' centres.
 *
 * @param array - square or hexagonal
 * @param row - from 1 at the top; a number outside the array continues the lattice
 * @param column - from 1 at the left; likewise
 * @returns across to the right and up, in pitches
 */
export function latticePlace(array: ArrayGeometry, row: number, column: number): Slopes {
  requireArray(array);
  const first = rowShift(array, 1);
  const second = array.rows > 1 ? rowShift(array, 2) : first;
  const middle = (1 + array.columns + first + second) / 2;
  return {
    across: column + rowShift(array, row) - middle,
    up: ((1 + array.rows) / 2 - row) * rowStep(array),
  };
}

/** Where a tube ends at the sheet. */
export function backPlace(array: ArrayGeometry, row: number, column: number): Place {
  return place(array, row, column, array.backPitchMm);
}

/** Where a tube begins in the front grid. */
export function frontPlace(array: ArrayGeometry, row: number, column: number): Place {
  return place(array, row, column, array.frontPitchMm);
}

/** Where a tube looks: slope of its axis, from back to front. */
export function axisSlopes(array: ArrayGeometry, row: number, column: number): Slopes {
  const { across, up } = latticePlace(array, row, column);
  const perPitch = (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm;
  return { across: across * perPitch, up: up * perPitch };
}

function place(array: ArrayGeometry, row: number, column: number, pitchMm: number): Place {
  const { across, up } = latticePlace(array, row, column);
  return { acrossMm: across * pitchMm, upMm: up * pitchMm };
}
