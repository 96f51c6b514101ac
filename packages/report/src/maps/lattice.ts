import { latticePlace } from '@twolamp/optics';
import type { Result } from '@twolamp/session';

export type ArrayOfTubes = Result['array'];

/** A place on a drawing in pitches, from the middle of the array: x right, y down, seen from the back. */
export interface DrawnPlace {
  readonly x: number;
  readonly y: number;
}

/** Middle of a cell; a row or column outside the array continues the lattice. */
export function cellPlace(array: ArrayOfTubes, row: number, column: number): DrawnPlace {
  const { across, up } = latticePlace(array, row, column);
  return { x: across, y: -up };
}

/** Half the width and height of the box that bounds the cells' middles. */
export function halfSize(array: ArrayOfTubes): { width: number; height: number } {
  const { y: height } = cellPlace(array, array.rows, 1);
  const width = Math.max(-cellPlace(array, 1, 1).x, -cellPlace(array, 2, 1).x);
  return { width, height };
}

/** Cell nearest to a place, or null outside the array. */
export function cellNear(array: ArrayOfTubes, { x, y }: DrawnPlace): { row: number; column: number } | null {
  const top = cellPlace(array, 1, 1).y;
  const row = 1 + Math.round((y - top) / (cellPlace(array, 2, 1).y - top));
  const column = 1 + Math.round(x - cellPlace(array, row, 1).x);
  return row < 1 || row > array.rows || column < 1 || column > array.columns ? null : { row, column };
}

/** A column counted from the other side: what is left from the back is right from the front. */
export function mirroredColumn(array: ArrayOfTubes, column: number): number {
  return array.columns + 1 - column;
}
