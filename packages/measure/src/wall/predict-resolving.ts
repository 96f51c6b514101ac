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

const SETTLED = 0.002;
const STEP_LIMIT = 8;

/**
 * Resolving distance that theory expects of an array whose tubes are all straight, well aimed and have this wall.
 *
 * A near lamp's rays spread inside the bore and widen the acceptance; distance and acceptance are found in turns.
 *
 * @param spacingMm - between the lamps
 * @param requiredDip - least dip that counts as separate
 * @param nearestMm - range of distances looked at
 */
export function predictResolving(
  array: ArraySpec,
  wall: Wall,
  spacingMm: number,
  requiredDip: number,
  nearestMm: number,
  farthestMm: number,
  random: Random,
): ResolvingDistance & { readonly stopped: 'converged' | 'step-limit' } {
  const tube = tubeOf(array);
  const find = (acceptance: Acceptance) =>
    resolvingDistance(array, () => acceptance, spacingMm, requiredDip, nearestMm, farthestMm);
  let found = find(traceAcceptance(tube, wall, random));
  for (let step = 0; step < STEP_LIMIT; step++) {
    const before = found.distanceMm;
    found = find(traceAcceptance(tube, wall, random, { lampDistanceMm: before }));
    if (Math.abs(found.distanceMm / before - 1) < SETTLED) return { ...found, stopped: 'converged' };
  }
  return { ...found, stopped: 'step-limit' };
}
