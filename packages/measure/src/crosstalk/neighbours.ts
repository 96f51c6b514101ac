import { type ArrayGeometry, tubeLayout } from '@twolamp/optics';
import KDBush from 'kdbush';

/** Cells no farther off share a wall or a corner. */
export const NEAR_PITCHES = 1.6;

export interface Neighbour {
  /** In reading order. */
  readonly cell: number;
  readonly pitches: number;
}

const indices = new WeakMap<ArrayGeometry, KDBush>();

function indexOf(array: ArrayGeometry): KDBush {
  const known = indices.get(array);
  if (known) return known;
  const { count, across, up } = tubeLayout(array);
  const index = new KDBush(count);
  for (let k = 0; k < count; k++) index.add(across[k], up[k]);
  index.finish();
  indices.set(array, index);
  return index;
}

/** The tubes around one, in reading order; fewer at the rim and beside unfilled places. */
export function neighboursOf(array: ArrayGeometry, cell: number): Neighbour[] {
  const { across, up } = tubeLayout(array);
  const [x, y] = [across[cell], up[cell]];
  return indexOf(array)
    .within(x, y, NEAR_PITCHES)
    .filter((other) => other !== cell)
    .sort((a, b) => a - b)
    .map((other) => ({ cell: other, pitches: Math.hypot(across[other] - x, up[other] - y) }));
}
