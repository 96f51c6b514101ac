import { requireWhole } from '../check.js';
import type { Random } from '../random.js';
import type { Acceptance } from '../tube/acceptance.js';
import { mirrorTransmission } from '../tube/mirror-tube.js';
import { bowOf, requireTube, resolveWall, type TubeShape, type Wall, type WallName } from '../tube/tube.js';
import { bowedAcceptance } from './bowed-acceptance.js';
import { entryPoints } from './entry-points.js';
import { rayWalk } from './ray-walk.js';
import { straightAcceptance } from './straight-acceptance.js';

export interface AcceptanceOptions {
  /** Of the lamp from the tube's front end; Infinity, a parallel beam, where left out. */
  readonly lampDistanceMm?: number;
  /** Rays for each direction; {@link RAYS_PER_DIRECTION} where left out. */
  readonly raysPerDirection?: number;
}

/** A straight mirror's rays cost next to nothing; others are followed from bounce to bounce. */
export const RAYS_PER_DIRECTION = { straightMirror: 1024, others: 256 } as const;

/** Directions of which less than this arrives make do with one in {@link PROBED} of the rays. */
const FAINT = 1e-4;
const PROBED = 8;

/**
 * How much of a lamp's light one tube passes, ray by ray, as a function of the lamp's direction (slopes as in
 * {@link Acceptance}). The thing to call for a few directions of a tube of its own shape; for many, make a table with
 * {@link traceAcceptance}.
 *
 * Entry points are spread over the bore like a sunflower's seeds, turned by one random angle: the function is smooth
 * and its error falls faster than with random points (some 0.005 with 256 rays). A near lamp's rays spread inside the
 * bore; slopes are then those from the middle of the front end to the lamp.
 *
 * @param random - also asked at every bounce where the wall scatters
 */
export function tracedTransmission(
  tube: TubeShape,
  wall: Wall | WallName,
  random: Random,
  options: AcceptanceOptions = {},
): (slopeAcross: number, slopeUp: number) => number {
  const mirror = resolveWall(wall).diffuse === 0;
  const straightMirror = mirror && bowOf(requireTube(tube)) === 0;
  const {
    lampDistanceMm = Infinity,
    raysPerDirection = straightMirror ? RAYS_PER_DIRECTION.straightMirror : RAYS_PER_DIRECTION.others,
  } = options;
  if (!(lampDistanceMm > 0)) throw new RangeError(`lampDistanceMm must be above 0, got ${lampDistanceMm}`);
  const { x, y } = entryPoints(requireWhole('raysPerDirection', raysPerDirection, 1), PROBED, random);
  // Where the wall scatters, a faint first sample may be mere chance, and to stop there would bias the result.
  const probe = mirror ? Math.ceil(raysPerDirection / PROBED) : raysPerDirection;
  const spread = tube.boreMm / 2 / lampDistanceMm;
  const walk = rayWalk(tube, wall);
  return (slopeAcross, slopeUp) => {
    let sum = 0;
    for (let i = 0; i < raysPerDirection; i++) {
      if (i === probe && sum < FAINT * probe) return sum / probe;
      sum += walk.follow(x[i], y[i], spread * x[i] - slopeAcross, spread * y[i] - slopeUp, random);
    }
    return sum / raysPerDirection;
  };
}

/**
 * The acceptance of a tube as a table that is quick to look up: a radial profile for a straight tube, a map for a
 * bowed one, filled by {@link tracedTransmission}.
 *
 * A near lamp is seen wider (by some 1.56 L/D where the wall is black). A straight tube whose wall does not scatter, in
 * a parallel beam, is integrated without rays at all. A wall that scatters most of the light takes seconds and leaves
 * noise in the table: it is meant for walls that scatter a few per cent.
 */
export function traceAcceptance(
  tube: TubeShape,
  wall: Wall | WallName,
  random: Random,
  options: AcceptanceOptions = {},
): Acceptance {
  const transmission = tracedTransmission(tube, wall, random, options);
  if (bowOf(tube) !== 0) return bowedAcceptance(tube, transmission);
  if ((options.lampDistanceMm ?? Infinity) === Infinity && resolveWall(wall).diffuse === 0) {
    return straightAcceptance(tube, (slope) => mirrorTransmission(slope, tube, wall));
  }
  return straightAcceptance(tube, (slope) => transmission(slope, 0));
}
