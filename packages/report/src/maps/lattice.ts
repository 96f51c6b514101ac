import { latticePlace, placeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';

/** An array as placedResult gives it: of a packed one the places of its tubes are in it. */
export type ArrayOfTubes = Result['array'];

/** A place on a drawing in pitches, from the middle of the array: x right, y down, seen from the back. */
export interface DrawnPlace {
  readonly x: number;
  readonly y: number;
}

/** Middle of a cell, by its number. */
export function cellPlace(array: ArrayOfTubes, cell: number): DrawnPlace {
  const { across, up } = placeLayout(array);
  return { x: across[cell - 1]!, y: -up[cell - 1]! };
}

/** Middle of a place of the grid; a row or column outside the array continues the lattice. */
export function gridPlace(array: ArrayOfTubes, row: number, column: number): DrawnPlace {
  const { across, up } = latticePlace(array, row, column);
  return { x: across, y: -up };
}

/** Half the width and height of the box that bounds the cells' middles, and all places of the grid. */
export function halfSize(array: ArrayOfTubes): { width: number; height: number } {
  if (array.arrangement === 'packed') {
    const { across, up } = placeLayout(array);
    const farthest = (values: Float64Array) => values.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
    return { width: farthest(across), height: farthest(up) };
  }
  const { y: height } = gridPlace(array, array.rows, 1);
  const width = Math.max(-gridPlace(array, 1, 1).x, -gridPlace(array, 2, 1).x);
  return { width, height };
}

/** Farthest from a cell's middle, in pitches, that still is that cell. */
const REACH = 0.58;

/** Number of the cell at a place; null where there is none. */
export function cellNear(array: ArrayOfTubes, { x, y }: DrawnPlace): number | null {
  const { count, across, up } = placeLayout(array);
  let [best, reach]: [number | null, number] = [null, REACH];
  for (let k = 0; k < count; k++) {
    const distance = Math.hypot(across[k]! - x, -up[k]! - y);
    if (distance < reach) [best, reach] = [k + 1, distance];
  }
  return best;
}

/** A column counted from the other side: what is left from the back is right from the front. */
export function mirroredColumn(array: ArrayOfTubes, column: number): number {
  return array.columns + 1 - column;
}
