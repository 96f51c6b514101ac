import { NEIGHBOUR_PITCHES, nextSide, triangulate } from '@twolamp/numeric';
import { type ArrayGeometry, tubeLayout } from '@twolamp/optics';
import { GAP_PITCHES } from './tuning.js';

/** Where packed tubes depart from hexagonal order; tubes by number from 0. */
export interface PackingOrder {
  /** Tubes inside the bundle with more or fewer than six neighbours. */
  readonly breaks: readonly number[];
  /** Pairs of tubes across a square of four, where one row has slid past the next. */
  readonly slips: readonly (readonly [number, number])[];
  /** Other pairs of neighbours that stand apart. */
  readonly gaps: readonly (readonly [number, number])[];
}

/**
 * Breaks, slips and gaps of a packed array, by the Delaunay triangulation of its tubes. Hexagonal order has six neighbours
 * a pitch apart. In a slip four tubes touch in a square, whose diagonal is √2 pitches; in a gap the sides are long too.
 *
 * @param array - packed, with its places
 */
export function packingOrder(array: ArrayGeometry): PackingOrder {
  const { across, up, count } = tubeLayout(array);
  const { triangles, halfedges, neighbours } = triangulate(across, up, NEIGHBOUR_PITCHES);
  const length = (a: number, b: number) => Math.hypot(across[a] - across[b], up[a] - up[b]);
  const isRim = new Uint8Array(count);
  const slips: [number, number][] = [];
  const gaps: [number, number][] = [];
  for (let side = 0; side < triangles.length; side++) {
    const [a, b] = [triangles[side], triangles[nextSide(side)]];
    const apart = length(a, b);
    const other = halfedges[side];
    if (apart >= NEIGHBOUR_PITCHES || other < 0) {
      isRim[a] = 1;
      isRim[b] = 1;
      continue;
    }
    if (other > side || apart < GAP_PITCHES) continue;
    const [c, d] = [triangles[nextSide(nextSide(side))], triangles[nextSide(nextSide(other))]];
    const touching = [length(a, c), length(b, c), length(a, d), length(b, d)].every(
      (one) => one < GAP_PITCHES,
    );
    (touching ? slips : gaps).push([a, b]);
  }
  const breaks = Array.from({ length: count }, (_, k) => k).filter(
    (k) => !isRim[k] && neighbours[k].length !== 6,
  );
  return { breaks, slips, gaps };
}
