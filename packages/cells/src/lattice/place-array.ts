import { type ArraySpec, InputError } from '@twolamp/session';
import { keyOf } from './grow.js';
import { bestPlacements, indicesOf, type LitPoint, type Placement, spanOf } from './place.js';

const HEALTHY = 0.25;
/** Share of healthy spots that may lie outside the stated outline (reflections, dirt). */
const STRAY_SHARE = 0.004;

/** A lattice point where a spot was found, 1 = as bright as is typical around it. */
export interface SpotPoint extends LitPoint {
  readonly strength: number;
}

/**
 * Decides where in the lattice the array lies.
 *
 * @param array - as stated
 * @param points - lattice points that show a spot
 * @param toPhoto - pixel of the photo that shows a lattice point, for messages
 * @param photo - its name, for messages
 * @throws InputError where the stated rows × columns don't fit the spots, or fit in more than one place
 */
export function placeArray(
  array: ArraySpec,
  points: readonly SpotPoint[],
  toPhoto: (i: number, j: number) => readonly [number, number],
  photo: string,
): Placement {
  const healthy = points.filter(({ strength }) => strength >= HEALTHY);
  const most = Math.max(1, STRAY_SHARE * healthy.length);
  const { placements, outside } = bestPlacements(array, healthy);
  const span = spanOf(array, healthy);
  const found = `${span.rows} × ${span.columns} cells found, ${array.rows} × ${array.columns} stated`;
  if (placements.length === 0 || outside > most) {
    requireShiftedRows(array, healthy, most, photo);
    throw new InputError(
      photo,
      found,
      'rows and columns as in the photo, and the whole array inside the picture',
    );
  }
  if (placements.length === 1) return placements[0]!;
  const weak = points.filter(({ strength }) => strength < HEALTHY);
  const settled = settleByWeakSpots(array, placements, weak);
  if (settled) return settled;
  const [one, other] = [placements[0]!, placements.at(-1)!].map((place) => {
    const [x, y] = toPhoto(...indicesOf(array, place, 1, 1));
    return `x ${Math.round(x)}, y ${Math.round(y)}`;
  });
  throw new InputError(
    photo,
    `${found}, and they fit in more than one place: row 1 column 1 may be the place at ${one} px or the one at ${other} px`,
    'some light from every outermost row and column, or the rows and columns that are really lit',
  );
}

/** Refuses a hexagonal array that fits once the other rows are taken for the shifted ones. */
function requireShiftedRows(
  array: ArraySpec,
  healthy: readonly LitPoint[],
  most: number,
  photo: string,
): void {
  if (array.arrangement !== 'hexagonal') return;
  const shiftedRows = array.shiftedRows === 'odd' ? 'even' : 'odd';
  if (bestPlacements({ ...array, shiftedRows }, healthy).outside > most) return;
  throw new InputError(
    photo,
    `${shiftedRows} rows sit half a pitch to the right, ${array.shiftedRows} stated`,
  );
}

/** Weaker spots speak where the healthy ones leave more than one placement; a lead of a few is wanted, noise has some too. */
function settleByWeakSpots(
  array: ArraySpec,
  candidates: readonly Placement[],
  weak: readonly LitPoint[],
): Placement | null {
  const counts = candidates.map((place) => {
    const cells = new Set<string>();
    for (let row = 1; row <= array.rows; row++) {
      for (let column = 1; column <= array.columns; column++)
        cells.add(keyOf(...indicesOf(array, place, row, column)));
    }
    return weak.filter(({ i, j }) => cells.has(keyOf(i, j))).length;
  });
  const order = counts.map((_, k) => k).sort((p, q) => counts[q]! - counts[p]!);
  const [first, second] = [order[0]!, order[1]!];
  const lead = Math.max(3, 0.2 * Math.min(array.rows, array.columns));
  return counts[first]! - counts[second]! >= lead ? candidates[first]! : null;
}
