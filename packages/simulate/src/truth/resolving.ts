import type { Bench } from '../array/bench.js';
import { truePair } from './dip.js';

/** A dip this small counts as none where the criterion asks for any dip at all. */
const LEAST_DIP = 1e-3;
/** Pin the distance down to 1e-5 of itself. */
const BISECTIONS = 20;

/**
 * The distance at which the true dip of two lamps side by side falls through the criterion.
 *
 * @returns null where that does not happen between the two distances
 */
export function trueResolvingDistanceMm(
  bench: Bench,
  spacingMm: number,
  requiredDip: number,
  nearestMm: number,
  farthestMm: number,
): number | null {
  const separates = (distanceMm: number) =>
    truePair(bench, spacingMm, distanceMm, 0).dip >= Math.max(requiredDip, LEAST_DIP);
  if (!separates(nearestMm) || separates(farthestMm)) return null;
  let near = nearestMm;
  let far = farthestMm;
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (near + far) / 2;
    if (separates(middle)) near = middle;
    else far = middle;
  }
  return near;
}
