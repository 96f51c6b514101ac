import { type Acceptance, type Random, traceAcceptance, type TubeShape, type Wall } from '@twolamp/optics';
import type { PointingSurvey } from '../pointing/measure-pointing.js';
import { fitStraight, roughData } from '../pointing/point-tube.js';
import type { Sweep } from '../pointing/sweep.js';
import type { TubeData } from '../pointing/tube-data.js';

/** A bow whose traced tube answers the lamps as a tube does. */
export interface BowFit {
  readonly bowMm: number;
  readonly uncertaintyMm: number;
  /** Where the middle stands out, 0 = right, anticlockwise as seen from the back; null where the tube hardly looks aside. */
  readonly directionRad: number | null;
  /** By how much χ² is less than that of a straight tube of the shared acceptance, of any height, direction and width. */
  readonly gain: number;
}

/** A bent tube as theory has it, its middle standing out to the right. */
interface TracedBent {
  readonly bowMm: number;
  readonly acceptance: Acceptance;
}

/** Bows traced, in bores. */
const TRACED_BORES = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1] as const;
const RAYS = 128;
/** Directions tried, and halvings of the step between them that follow. */
const DIRECTIONS = 48;
const HALVINGS = 5;
/** A bent tube that looks less aside than this share of its width looks much the same from either side. */
const SIDE_SHOWS = 0.2;

/**
 * Finds bows by the shape of what a tube sees: tubes with bows of all sizes are traced, and turned about until they
 * answer the lamps of the sweep as this one does.
 *
 * @param tube - straight
 * @param wall - of the array's tubes, as estimated
 * @param lampDistanceMm - of the sweep
 * @returns for a tube's number its fit, or null where nothing can be fitted; traced when first asked
 */
export function tracedBowFits(
  tube: TubeShape,
  wall: Wall,
  lampDistanceMm: number,
  sweep: Sweep,
  { common, field }: PointingSurvey,
  random: Random,
): (n: number) => BowFit | null {
  let traced: readonly TracedBent[] | null = null;
  const trace = () =>
    TRACED_BORES.map((bores): TracedBent => {
      const bowMm = bores * tube.boreMm;
      const options = { lampDistanceMm, raysPerDirection: RAYS };
      return { bowMm, acceptance: traceAcceptance({ ...tube, bowMm }, wall, random, options) };
    });
  return (n) => {
    if (common === null || field === null) return null;
    traced ??= trace();
    const data = roughData(sweep, n, null);
    const chord = { across: field.across[n]!, up: field.up[n]! };
    const fits = traced.map(({ acceptance }) => turned(acceptance, aside(data, chord)));
    return { ...bestBow(traced, fits), gain: fitStraight(common, data, chord).chi2 - least(fits).chi2 };
  };
}

/** A tube's answers by the lamps' slopes off its chord. */
function aside(data: TubeData, chord: { across: number; up: number }): TubeData {
  return {
    ...data,
    across: data.across.map((slope) => slope - chord.across),
    up: data.up.map((slope) => slope - chord.up),
  };
}

interface Turned {
  readonly chi2: number;
  readonly directionRad: number;
}

const least = (fits: readonly Turned[]): Turned =>
  fits.reduce((best, fit) => (fit.chi2 < best.chi2 ? fit : best));

/** A traced acceptance turned about its chord, and scaled, until it fits best. */
function turned(acceptance: Acceptance, data: TubeData): Turned {
  let step = (2 * Math.PI) / DIRECTIONS;
  let best = { chi2: Number.POSITIVE_INFINITY, directionRad: 0 };
  const tryAt = (directionRad: number) => {
    const chi2 = scaledChi2(acceptance, data, directionRad);
    if (chi2 < best.chi2) best = { chi2, directionRad };
  };
  for (let i = 0; i < DIRECTIONS; i++) tryAt(i * step);
  for (let halving = 0; halving < HALVINGS; halving++) {
    step /= 2;
    const { directionRad } = best;
    tryAt(directionRad - step);
    tryAt(directionRad + step);
  }
  return best;
}

/** χ² at the height that fits best; clipped answers don't count. */
function scaledChi2(acceptance: Acceptance, data: TubeData, directionRad: number): number {
  const cos = Math.cos(directionRad);
  const sin = Math.sin(directionRad);
  let [product, square, rest] = [0, 0, 0];
  for (let k = 0; k < data.response.length; k++) {
    if (data.clipped[k] === 1) continue;
    const weight = 1 / data.sigma[k]! ** 2;
    const [across, up, response] = [data.across[k]!, data.up[k]!, data.response[k]!];
    const passed = acceptance.at(cos * across + sin * up, cos * up - sin * across);
    product += weight * passed * response;
    square += weight * passed * passed;
    rest += weight * response * response;
  }
  const height = square > 0 ? Math.max(0, product / square) : 0;
  return rest - height * (2 * product - height * square);
}

/** The bow at the bottom of the parabola through the best traced one and its neighbours. */
function bestBow(traced: readonly TracedBent[], fits: readonly Turned[]): Omit<BowFit, 'gain'> {
  const best = fits.indexOf(least(fits));
  const { centre, widthRad } = traced[best]!.acceptance;
  const middle = Math.min(Math.max(best, 1), fits.length - 2);
  const [before, here, after] = [fits[middle - 1]!.chi2, fits[middle]!.chi2, fits[middle + 1]!.chi2];
  const step = traced[1]!.bowMm - traced[0]!.bowMm;
  const curvature = before - 2 * here + after;
  const bottom = traced[middle]!.bowMm + (curvature > 0 ? (step * (before - after)) / (2 * curvature) : 0);
  const bowMm = Math.min(Math.max(bottom, traced[0]!.bowMm), traced.at(-1)!.bowMm);
  return {
    bowMm,
    uncertaintyMm: curvature > 0 ? Math.min(step, step * Math.sqrt(2 / curvature)) : step,
    directionRad: Math.abs(centre.across) > SIDE_SHOWS * widthRad ? fits[best]!.directionRad : null,
  };
}
