import { interpolateEven } from '@twolamp/numeric';
import type { Random } from '@twolamp/optics';
import type { Evidence } from '@twolamp/session';
import { quantile } from 'simple-statistics';
import type { ArrayResponse } from '../response/array-response.js';
import { fitSpline } from '../response/fit-spline.js';
import { blurred, halfWidthOf, litSpline, type RadialSpline } from '../response/radial-spline.js';
import { weightedSum } from '../response/spline-equations.js';
import { splineDip } from './spline-dip.js';
import { MODEL_ERROR, WIDTH_PRIOR } from './tuning.js';

/** A dip with where it was seen. */
export interface DipAtDistance {
  readonly distanceM: number;
  readonly spacingM: number;
  readonly dip: number;
  readonly dipUncertainty: number;
}

export interface ResolvingFit {
  readonly spacingM: number;
  /**
   * `within`: the fitted curve crosses the criterion between the shot distances; `beyond`: every one is still separate,
   * distanceM is the farthest; `nearer`: none is, distanceM is the nearest.
   */
  readonly bound: 'within' | 'beyond' | 'nearer';
  readonly distanceM: number;
  /** Where the fitted curve crosses the criterion, be it between the shots or not, and its 95 % interval. */
  readonly crossingM: number;
  readonly lowM: number;
  readonly highM: number;
  readonly angleDeg: number;
  readonly curve: NonNullable<Evidence['dipCurve']>;
}

/** Draws: the standard error of each end of a 95 % interval is then a twentieth of the interval (normal quantiles). */
const BOOTSTRAPS = 200;
const CURVE_POINTS = 60;
const CONFIDENCE = 0.95;
/** Nodes of the table of dips over 8 half widths: linear interpolation then errs by some 2e-4 (h²/8 times the curvature). */
const NODES = 200;
/** Nodes passed at once in the search for a dip: a third of a half width, on which no response has two humps. */
const STRIDE = 8;
/** Rounds that find the crossing: the disc's share of the width squared is a few per cent, and each leaves that share. */
const CROSSING_ROUNDS = 3;
/** Least dip looked for where the criterion asks for any (Sparrow). */
export const ANY_DIP = 1e-3;

/** Dip of two equal lamps against the slope between them, on a grid whose nodes are computed when they are needed. */
function dipTable(spline: RadialSpline): {
  at: (slope: number) => number;
  slopeFor: (dip: number) => number | null;
} {
  const farthest = 8 * halfWidthOf(spline);
  const dips = new Float64Array(NODES + 1).fill(Number.NaN);
  const node = (n: number): number => {
    if (Number.isNaN(dips[n])) dips[n] = splineDip(spline, (farthest * n) / NODES);
    return dips[n];
  };
  const at = (slope: number): number => {
    const place = (slope * NODES) / farthest;
    const before = Math.floor(Math.min(Math.max(place, 0), NODES - 1));
    node(before);
    node(before + 1);
    return interpolateEven(dips, place);
  };
  const slopeFor = (dip: number): number | null => {
    // From the far end inwards: two lamps far enough apart never merge again.
    let far = NODES;
    if (node(far) < dip) return null;
    while (far > 0 && node(Math.max(0, far - STRIDE)) >= dip) far = Math.max(0, far - STRIDE);
    while (far > 0 && node(far - 1) >= dip) far--;
    if (far === 0) return 0;
    const share = (dip - dips[far - 1]) / Math.max(dips[far] - dips[far - 1], 1e-12);
    return ((far - 1 + share) * farthest) / NODES;
  };
  return { at, slopeFor };
}

/**
 * Tables of dips for lamps at any distance: a near lamp's disc rounds off the response more.
 *
 * @param discRadiusM - of the disc that stands for a lamp
 * @param nearM - by which a near lamp acts as if it stood farther off
 */
function litTables(spline: RadialSpline, discRadiusM: number, nearM: number) {
  const tables = new Map<number, ReturnType<typeof dipTable>>();
  return (distanceM: number) => {
    const table = tables.get(distanceM) ?? dipTable(litSpline(spline, discRadiusM / (distanceM + nearM)));
    tables.set(distanceM, table);
    return table;
  };
}

/** The distance at which the dip is the wanted one, in rounds: the lamps' discs as seen from there change it little. */
function crossingOf(
  tableAt: ReturnType<typeof litTables>,
  distanceFor: (slope: number) => number,
  wanted: number,
  startM: number,
): number | null {
  let distanceM = startM;
  for (let round = 0; round < CROSSING_ROUNDS; round++) {
    const slope = tableAt(distanceM).slopeFor(wanted);
    if (slope === null || slope === 0) return null;
    distanceM = distanceFor(slope);
    if (!(distanceM > 0)) return distanceM;
  }
  return distanceM;
}

/** Dip of two lamps as the array shows them, its response wider by a factor. */
type DipAt = (spacingM: number, distanceM: number, wider: number) => number;

/** Factor of the response's width that fits the dips best: a scan of its logarithm. */
function widthFactor(dips: readonly DipAtDistance[], dipAt: DipAt): number {
  const cost = (ln: number): number =>
    dips.reduce(
      (sum, one) => {
        const modelled = dipAt(one.spacingM, one.distanceM, Math.exp(ln));
        return sum + Math.min(((one.dip - modelled) / one.dipUncertainty) ** 2, 9);
      },
      (ln / WIDTH_PRIOR) ** 2,
    );
  let best = { ln: 0, cost: Number.POSITIVE_INFINITY };
  for (let n = -40; n <= 40; n++) {
    const ln = n * 0.005;
    const here = cost(ln);
    if (here < best.cost) best = { ln, cost: here };
  }
  return Math.exp(best.ln);
}

/** Angle between two lamps from a place midway before them. */
export function angleDeg(spacingM: number, distanceM: number): number {
  return (2 * Math.atan(spacingM / (2 * distanceM)) * 180) / Math.PI;
}

function commonest(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0][0];
}

/**
 * Resolving distance: where the dip of the array's response crosses the criterion, its width adjusted to the dips of the
 * pair shots.
 *
 * The interval is a bootstrap over tubes (each with its readings in all shots) and over the pair shots' dips, widened by
 * the model's own error.
 *
 * @param required - least dip that counts as separate; 0 stands for any dip
 * @param tubeLengthM - decides how much wider a near lamp is seen
 * @param discRadiusM - of the disc that stands for a lamp
 * @returns null where no dip is known, or no angle reaches the criterion
 */
export function fitResolving(
  dips: readonly DipAtDistance[],
  response: ArrayResponse,
  required: number,
  tubeLengthM: number,
  discRadiusM: number,
  random: Random,
): ResolvingFit | null {
  if (dips.length === 0) return null;
  const wanted = Math.max(required, ANY_DIP);
  const spacingM = commonest(dips.map((one) => one.spacingM));
  const own = dips.filter((one) => one.spacingM === spacingM).map((one) => one.distanceM);
  const [nearest, farthest] = [Math.min(...own), Math.max(...own)];
  const distances = Array.from(
    { length: CURVE_POINTS },
    (_, n) => nearest * 0.9 + ((farthest * 1.1 - nearest * 0.9) * n) / (CURVE_POINTS - 1),
  );

  // A near lamp's response is wider, which acts like a larger distance.
  const nearM = response.alignment.widening * tubeLengthM;
  const solve = (spline: RadialSpline, seen: readonly DipAtDistance[], stray: number) => {
    const tableAt = litTables(spline, discRadiusM, nearM);
    const dipAt: DipAt = (spacing, distance, wider) =>
      tableAt(distance).at(spacing / (distance + nearM) / wider);
    const wider = widthFactor(seen, dipAt) * stray;
    return {
      crossingM: crossingOf(tableAt, (slope) => spacingM / (slope * wider) - nearM, wanted, own[0]),
      curve: distances.map((distance) => dipAt(spacingM, distance, wider)),
    };
  };
  const best = solve(response.mean, dips, 1);
  if (best.crossingM === null) return null;
  const drawn = Array.from({ length: BOOTSTRAPS }, () => {
    const spline = fitSpline(
      response.spline.knots,
      weightedSum(response.equations, () => random.poisson(1)),
      response.views.length,
      response.theory,
    );
    const seen = dips.map((one) => ({
      ...one,
      dip: Math.max(0, one.dip + one.dipUncertainty * random.normal()),
    }));
    return solve(blurred(spline, response.tubes.scatter), seen, Math.exp(MODEL_ERROR * random.normal()));
  });
  const tail = (1 - CONFIDENCE) / 2;
  const crossings = drawn.map((one) => one.crossingM).filter((value) => value !== null);
  const band = (share: number): number[] =>
    distances.map((_, n) =>
      quantile(
        drawn.map((one) => one.curve[n]),
        share,
      ),
    );
  const bound = best.crossingM > farthest ? 'beyond' : best.crossingM < nearest ? 'nearer' : 'within';
  const distanceM = bound === 'beyond' ? farthest : bound === 'nearer' ? nearest : best.crossingM;
  return {
    spacingM,
    bound,
    distanceM,
    crossingM: best.crossingM,
    lowM: quantile(crossings, tail),
    highM: quantile(crossings, 1 - tail),
    angleDeg: angleDeg(spacingM, distanceM),
    curve: { distanceM: distances, dip: best.curve, lowDip: band(tail), highDip: band(1 - tail) },
  };
}
