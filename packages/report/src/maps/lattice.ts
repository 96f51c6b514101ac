import type { Result } from '@twolamp/session';

export type ArrayOfTubes = Pick<Result['array'], 'arrangement' | 'shiftedRows' | 'rows' | 'columns'>;

export interface Place {
  readonly x: number;
  readonly y: number;
}

/** Distance of rows in pitches. */
export function rowStep(array: ArrayOfTubes): number {
  return array.arrangement === 'hexagonal' ? Math.sqrt(3) / 2 : 1;
}

function shiftOf(array: ArrayOfTubes, row: number): number {
  if (array.arrangement === 'square') return 0;
  const isOdd = row % 2 === 1;
  return isOdd === (array.shiftedRows === 'odd') ? 0.5 : 0;
}

/** Middle of a cell in pitches, seen from the back: row 1 column 1 at (0, 0) or half a pitch right of it, x right, y down. */
export function cellPlace(array: ArrayOfTubes, row: number, column: number): Place {
  return { x: column - 1 + shiftOf(array, row), y: (row - 1) * rowStep(array) };
}

/** Span of the cells' middles in pitches. */
export function latticeSize(array: ArrayOfTubes): { width: number; height: number } {
  const hasShift = array.arrangement === 'hexagonal' && array.rows > 1;
  return { width: array.columns - 1 + (hasShift ? 0.5 : 0), height: (array.rows - 1) * rowStep(array) };
}

/** Cell nearest to a place, or null outside the array. */
export function cellNear(array: ArrayOfTubes, { x, y }: Place): { row: number; column: number } | null {
  const row = Math.round(y / rowStep(array)) + 1;
  const column = Math.round(x - shiftOf(array, row)) + 1;
  return row < 1 || row > array.rows || column < 1 || column > array.columns ? null : { row, column };
}
