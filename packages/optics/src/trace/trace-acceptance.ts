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

/** Rays that end at the first bounce, or whose bounces can be counted at once, are cheap; others are followed. */
const RAYS_PER_DIRECTION = { cheap: 1024, followed: 256 } as const;

/** Below this gloss a ray is as good as lost at its first bounce. */
const DULL = 0.05;

/** Directions of which less than this arrives make do with one in {@link PROBED} of the rays. */
const FAINT = 1e-4;
const PROBED = 8;

/**
 * How much of a lamp's light one tube passes, ray by ray, as a function of the lamp's direction (slopes as in
 * {@link Acceptance}). The thing to call for a few directions of a tube of its own shape; for many, make a table with
 * {@link traceAcceptance}.
 *
 * Entry points are spread over the bore like a sunflower's seeds, turned by one random angle: the function is smooth
 * and its error falls faster than with random points (some 0.002 of 1). A near lamp's rays spread inside the
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
  const { gloss, diffuse } = resolveWall(wall);
  const cheap = diffuse === 0 && (bowOf(requireTube(tube)) === 0 || gloss < DULL);
  const {
    lampDistanceMm = Infinity,
    raysPerDirection = cheap ? RAYS_PER_DIRECTION.cheap : RAYS_PER_DIRECTION.followed,
  } = options;
  if (!(lampDistanceMm > 0)) throw new RangeError(`lampDistanceMm must be above 0, got ${lampDistanceMm}`);
  const { x, y } = entryPoints(requireWhole('raysPerDirection', raysPerDirection, 1), PROBED, random);
  const spread = tube.boreMm / 2 / lampDistanceMm;
  const walk = rayWalk(tube, wall);
  // Inside direct sight a sparse sample could miss it; where the wall scatters, stopping by chance would bias the mean.
  const sight = diffuse === 0 ? tube.boreMm / tube.lengthMm + spread : Infinity;
  const probe = Math.ceil(raysPerDirection / PROBED);
  return (slopeAcross, slopeUp) => {
    const outside = Math.hypot(slopeAcross, slopeUp) > sight;
    let sum = 0;
    for (let i = 0; i < raysPerDirection; i++) {
      if (i === probe && outside && sum < FAINT * probe) return sum / probe;
      sum += walk.follow(x[i], y[i], spread * x[i] - slopeAcross, spread * y[i] - slopeUp, random);
    }
    return sum / raysPerDirection;
  };
}

/**
 * The acceptance of a tube as a table that is quick to look up: a radial profile for a straight tube, a map for a
 * bowed one, filled by {@link tracedTransmission}. A map is traced as far as it is looked at.
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
  const { diffuse } = resolveWall(wall);
  // Chance, drawn where the wall scatters, must not depend on which directions are asked for.
  if (bowOf(tube) !== 0) return bowedAcceptance(tube, transmission, diffuse > 0);
  if ((options.lampDistanceMm ?? Infinity) === Infinity && diffuse === 0) {
    return straightAcceptance(tube, (slope) => mirrorTransmission(slope, tube, wall));
  }
  return straightAcceptance(tube, (slope) => transmission(slope, 0));
}
