import {
  type Acceptance,
  litWidthRad,
  type Random,
  traceAcceptance,
  tubeOf,
  type Wall,
} from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';

/** Traced figures of the tubes at evenly spaced gloss from 0 to 1. */
export interface WallTable {
  readonly gloss: Float64Array;
  /** Full width at half maximum in a parallel beam. */
  readonly widthRad: Float64Array;
  /** Acceptance for a point source at the lamps' distance. */
  readonly near: readonly Acceptance[];
  /** Share of even light that comes out. */
  readonly evenThroughput: Float64Array;
}

/** The logarithm of each column is interpolated linearly between them. */
const STEPS = 16;

/**
 * Traces the array's tubes at every gloss.
 *
 * @param material - refractive index and extinction of the wall
 * @param lampDistanceMm - from the front face; Infinity = far away
 */
export function traceWallTable(
  array: ArraySpec,
  material: Pick<Wall, 'index' | 'extinction'>,
  lampDistanceMm: number,
  random: Random,
): WallTable {
  const tube = tubeOf(array);
  const gloss = Float64Array.from({ length: STEPS + 1 }, (_, step) => step / STEPS);
  const traced = Array.from(gloss, (one) => {
    const wall = { ...material, gloss: one };
    const far = traceAcceptance(tube, wall, random);
    const near =
      lampDistanceMm === Number.POSITIVE_INFINITY
        ? far
        : traceAcceptance(tube, wall, random, { lampDistanceMm });
    return { far, near };
  });
  return {
    gloss,
    widthRad: Float64Array.from(traced, ({ far }) => far.widthRad),
    near: traced.map(({ near }) => near),
    evenThroughput: Float64Array.from(traced, ({ far }) => far.evenThroughput),
  };
}

/**
 * Full width at half maximum of the tubes' response to the lamps, at every gloss.
 *
 * @param lampRadius - of a lamp, over its distance
 */
export function lampWidthsRad({ near }: WallTable, lampRadius: number): Float64Array {
  return Float64Array.from(near, (one) => litWidthRad(one, lampRadius));
}

/** A column of the table at any gloss from 0 to 1: linear interpolation of its logarithm. */
export function atGloss(table: WallTable, column: Float64Array, gloss: number): number {
  const place = gloss * (table.gloss.length - 1);
  const index = Math.min(Math.floor(place), table.gloss.length - 2);
  const share = place - index;
  return Math.exp((1 - share) * Math.log(column[index]) + share * Math.log(column[index + 1]));
}
