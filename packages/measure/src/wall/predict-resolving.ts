import {
  type Acceptance,
  type Random,
  type ResolvingDistance,
  resolvingDistance,
  traceAcceptance,
  tubeOf,
  type Wall,
} from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';

/** Relative change of the distance at convergence: small against the 1 % and more that resolving distances are known to. */
const SETTLED = 0.002;
const STEP_LIMIT = 8;

/** Two lamps whose resolving distance is predicted. */
export interface PredictedLamps {
  readonly spacingMm: number;
  /** Least dip that counts as separate. */
  readonly requiredDip: number;
  /** Range of distances searched. */
  readonly nearestMm: number;
  readonly farthestMm: number;
}

/**
 * Resolving distance by theory of an array whose tubes are all straight, well aimed and have this wall.
 *
 * A near lamp widens the acceptance, since its rays diverge inside the bore, so distance and acceptance are computed in
 * turns.
 */
export function predictResolving(
  array: ArraySpec,
  wall: Wall,
  lamps: PredictedLamps,
  random: Random,
): ResolvingDistance {
  const { spacingMm, requiredDip, nearestMm, farthestMm } = lamps;
  const tube = tubeOf(array);
  const find = (acceptance: Acceptance) =>
    resolvingDistance(array, () => acceptance, spacingMm, requiredDip, nearestMm, farthestMm);
  let found = find(traceAcceptance(tube, wall, random));
  for (let step = 0; step < STEP_LIMIT; step++) {
    const before = found.distanceMm;
    found = find(traceAcceptance(tube, wall, random, { lampDistanceMm: before }));
    if (Math.abs(found.distanceMm / before - 1) < SETTLED) break;
  }
  return found;
}
