import { requirePositive } from '../check.js';
import type { Random } from '../random.js';
import type { Acceptance } from '../tube/acceptance.js';
import type { TubeShape, Wall, WallName } from '../tube/tube.js';
import { traceAcceptance } from './trace-acceptance.js';

const TABLES = 9;

/**
 * The acceptance of a tube for a lamp at any distance from nearestMm to infinity: tables traced at evenly spaced 1/D,
 * and straight interpolation between them.
 *
 * @returns a function of the lamp's distance from the front end, mm, which throws RangeError below nearestMm
 */
export function acceptanceByDistance(
  tube: TubeShape,
  wall: Wall | WallName,
  random: Random,
  nearestMm: number,
): (distanceMm: number) => Acceptance {
  requirePositive('nearestMm', nearestMm);
  const tables = Array.from({ length: TABLES }, (_, i) =>
    traceAcceptance(tube, wall, random, { lampDistanceMm: (nearestMm * (TABLES - 1)) / i }),
  );
  return (distanceMm) => {
    if (!(distanceMm >= nearestMm)) {
      throw new RangeError(`distanceMm must be at least ${nearestMm}, got ${distanceMm}`);
    }
    const place = ((TABLES - 1) * nearestMm) / distanceMm;
    const i = Math.min(Math.floor(place), TABLES - 2);
    return blend(tables[i], tables[i + 1], place - i);
  };
}

function blend(far: Acceptance, near: Acceptance, share: number): Acceptance {
  const mix = (a: number, b: number) => a + share * (b - a);
  return {
    at: (across, up) => mix(far.at(across, up), near.at(across, up)),
    axial: mix(far.axial, near.axial),
    widthRad: mix(far.widthRad, near.widthRad),
    widthBesideRad: mix(far.widthBesideRad, near.widthBesideRad),
    centre: { across: mix(far.centre.across, near.centre.across), up: mix(far.centre.up, near.centre.up) },
    evenThroughput: mix(far.evenThroughput, near.evenThroughput),
  };
}
