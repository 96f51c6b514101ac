import { type ArrayGeometry, latticePlace } from '@twolamp/optics';

/** Cells no farther off share a wall or a corner. */
export const NEAR_PITCHES = 1.6;
const SPAN = 2;

export interface Neighbour {
  /** In reading order. */
  readonly cell: number;
  readonly pitches: number;
}

/** The cells around one, in reading order; fewer at the rim. */
export function neighboursOf(array: ArrayGeometry, cell: number): Neighbour[] {
  const [row, column] = [Math.floor(cell / array.columns) + 1, (cell % array.columns) + 1];
  const here = latticePlace(array, row, column);
  const near: Neighbour[] = [];
  for (let r = Math.max(1, row - SPAN); r <= Math.min(array.rows, row + SPAN); r++) {
    for (let c = Math.max(1, column - SPAN); c <= Math.min(array.columns, column + SPAN); c++) {
      const there = latticePlace(array, r, c);
      const pitches = Math.hypot(there.across - here.across, there.up - here.up);
      if (pitches > 0 && pitches < NEAR_PITCHES)
        near.push({ cell: (r - 1) * array.columns + c - 1, pitches });
    }
  }
  return near;
}
