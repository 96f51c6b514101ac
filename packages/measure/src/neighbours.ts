import { neighbourFinder } from '@twolamp/numeric';
import { type ArrayGeometry, tubeLayout } from '@twolamp/optics';

/** Cells nearer than this share a wall or a corner. */
export const NEAR_PITCHES = 1.6;

export interface Neighbour {
  /** In reading order. */
  readonly cell: number;
  readonly pitches: number;
}

const finders = new WeakMap<ArrayGeometry, ReturnType<typeof neighbourFinder>>();

/** The tubes around one, in reading order; fewer at the rim and beside unfilled places. */
export function neighboursOf(array: ArrayGeometry, cell: number): Neighbour[] {
  let find = finders.get(array);
  if (find === undefined) {
    const { across, up } = tubeLayout(array);
    find = neighbourFinder(across, up);
    finders.set(array, find);
  }
  return find(cell, NEAR_PITCHES).map(({ index, distance }) => ({ cell: index, pitches: distance }));
}
