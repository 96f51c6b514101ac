import { median, NEIGHBOUR_PITCHES, triangulate } from '@twolamp/numeric';
import type { PackedPlace } from '@twolamp/optics';
import { seenStraightOn } from './sheet-map.js';

/**
 * Where packed tubes end at the sheet, from the middle of them all: touching tubes lie a pitch apart.
 *
 * @param middles - of the tubes' light on the picture, px
 * @param pitchMm - outer diameter of a tube, as stated
 */
export function packedPlaces(
  { x, y }: { readonly x: Float64Array; readonly y: Float64Array },
  pitchMm: number,
): PackedPlace[] {
  const all = triangulate(x, y, Number.POSITIVE_INFINITY).neighbours;
  const edges = all.flatMap((list, k) => list.map((to) => Math.hypot(x[to] - x[k], y[to] - y[k])));
  const { neighbours } = triangulate(x, y, NEIGHBOUR_PITCHES * median(edges));
  const { u, v } = seenStraightOn(x, y, neighbours);
  return Array.from(u, (across, k) => ({ acrossMm: across * pitchMm, upMm: -v[k] * pitchMm }));
}
