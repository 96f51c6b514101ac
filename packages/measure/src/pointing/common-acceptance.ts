import { fitPointingField, madScale, median, thin } from '@twolamp/numeric';
import type { TubeLayout } from '@twolamp/optics';
import { firstAcceptance, firstAcceptanceInEvenLight, profileFrom } from './first-acceptance.js';
import { fitTube, type TubeFit } from './fit-tube.js';
import { evenLightFrom, evenTrendOf, sweepLight } from './even-trend.js';
import type { PooledReadings } from './learn-profile.js';
import { firstModelError, learnModelError, type ModelError } from './model-error.js';
import { poolReadings } from './pool-readings.js';
import type { Sweep } from './sweep.js';
import { clearReadings, type EvenLight, isClear, LEAST_CLEAR, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  lightOfShape,
  SHARED_SIZE,
  roundShape,
  type TubeShape,
  WIDTH,
} from './tube-shape.js';
import {
  LEAST_BRIGHTNESS,
  LEAST_REFERENCE_TUBES,
  LEAST_WIDTH_SCATTER,
  WIDTH_SCATTER_MARGIN,
  WIDTH_UNCERTAINTY,
} from './tuning.js';

/** What the tubes of an array have in common. */
export interface CommonAcceptance {
  readonly acceptance: AcceptanceProfile;
  /** Standard uncertainty of the width all tubes have in common, a share of it. */
  readonly widthShare: number;
  readonly modelError: ModelError;
  /** Intrinsic scatter of the log of width among healthy tubes. */
  readonly widthScatter: number;
  /** Integral of a typical tube's acceptance over both slopes, in the unit of the sweep's readings. */
  readonly typicalLight: number;
  /** Integral of each tube's acceptance as even light shows it; null where it is not known. */
  readonly evenLight: (tube: number) => EvenLight | null;
}

/** Limit of computing time: with more tubes the shared shape does not change any more. */
const MOST_REFERENCE_TUBES = 800;
const STEP_LIMIT = 24;
/** Steps before convergence is looked for: model error and profile follow each other. */
const FIRST_STEPS = 4;
/** Relative change of the half-maximum radius at convergence: small against the 1 % by which tubes differ. */
const SETTLED = 0.002;

/** Scatter of the log of width to start from. */
const FIRST_WIDTH_SCATTER = 0.1;

/** Prior standard deviations for a tube of the shared shape: height and centre free, log of width within its scatter. */
export function sharedPrior(widthScatter: number): Float64Array {
  const sigma = new Float64Array(SHARED_SIZE).fill(Number.POSITIVE_INFINITY);
  sigma[WIDTH] = widthScatter;
  return sigma;
}

/**
 * Fits the acceptance that an array's tubes share to a sweep. Few lamps sample each tube, but all tubes together sample
 * the acceptance densely. The tubes' own parameters and the shared profile are fitted in turns until the half maximum
 * converges.
 *
 * @param layout - where the N tubes stand
 * @param relative - N relative transmissions in even light, NaN = unknown, or null: they fix each tube's height where
 *   the lamps stand far apart
 * @param relativeSigma - their standard uncertainty; null with `relative`
 * @returns null if hardly any tube is lit by three lamps or more
 */
export function learnCommonAcceptance(
  sweep: Sweep,
  layout: TubeLayout,
  relative: ArrayLike<number> | null,
  relativeSigma: ArrayLike<number> | null,
): CommonAcceptance | null {
  const readings = clearReadings(sweep);
  const typical = median(readings.brightest.filter((light) => light > 0));
  const lit = chooseReferenceTubes(readings, typical);
  if (lit.length === 0) return null;
  const reach = 1.2 * farthest(sweep, lit);
  const scale = meanDistance(sweep, lit);
  const first =
    (relative && firstAcceptanceInEvenLight(sweep, layout, lit, relative, scale, reach)) ??
    firstAcceptance(sweep, lit, typical, scale, reach);
  const brightest = first.height;
  const references = chooseReferenceTubes(readings, brightest);
  if (references.length === 0) return null;
  let { acceptance, evenTrend } = first;
  let shapes: TubeShape[] | null = null;
  let modelError = firstModelError(brightest);
  let widthScatter = FIRST_WIDTH_SCATTER;
  let centrePrior: CentrePrior | null = null;
  let evenLight: CommonAcceptance['evenLight'] = relative
    ? evenLightFrom(evenTrend, relative, relativeSigma)
    : () => null;
  let pooled: PooledReadings | null = null;
  let settledSteps = 0;
  for (let step = 0; step < STEP_LIMIT; step++) {
    const data = references.map((tube) => tubeData(sweep, tube, modelError, evenLight(tube)));
    const prior = sharedPrior(widthScatter);
    if (centrePrior) prior.fill(centrePrior.sigma, CENTRE_ACROSS, CENTRE_UP + 1);
    const fits: TubeFit[] = data.map((one, i) =>
      fitTube(
        acceptance,
        one,
        shapes?.[i] ?? first.start(references[i], one),
        prior,
        centrePrior?.typical[i],
      ),
    );
    shapes = fits.map((fit) => fit.shape);
    modelError = learnModelError(sweep, references, acceptance, fits, brightest, modelError);
    const middle = median(shapes.map((shape) => shape[WIDTH]));
    const before = acceptance.halfRadius;
    pooled = poolReadings(acceptance, data, shapes, middle);
    acceptance = profileFrom(sweep, acceptance.meanRadius, reach, pooled);
    if (step >= 2) widthScatter = widthScatterAmong(shapes);
    if (step >= 1) centrePrior = centrePriorOf(sweep, layout, references, fits);
    if (relative) {
      const lights = fits.map((fit, i) => sweepLight(acceptance, fit, data[i].evenLight));
      evenTrend = evenTrendOf(layout, references, lights, relative, evenTrend);
      evenLight = evenLightFrom(evenTrend, relative, relativeSigma);
    }
    settledSteps = Math.abs(acceptance.halfRadius / before - 1) < SETTLED ? settledSteps + 1 : 0;
    if (step >= FIRST_STEPS && settledSteps >= 2) break;
  }
  const typicalLight = median(shapes!.map((shape) => lightOfShape(acceptance, shape)));
  const inside = pooled!.radius.filter(
    (radius, at) => radius < acceptance.halfRadius && pooled!.weight[at] > 0,
  );
  return {
    acceptance,
    widthShare: WIDTH_UNCERTAINTY / Math.sqrt(Math.max(1, inside.length)),
    modelError,
    widthScatter,
    typicalLight,
    evenLight,
  };
}

/**
 * Reference tubes: bright ones, spread evenly over the array. Tubes that only one lamp lights belong to them, since they
 * determine the top of the profile best. None where hardly any tube is lit by several lamps.
 *
 * @param top - what a typical tube shows of its best lamp
 */
function chooseReferenceTubes({ count, brightest }: ReturnType<typeof clearReadings>, top: number): number[] {
  if (count.filter((lamps) => lamps >= LEAST_CLEAR).length < LEAST_REFERENCE_TUBES) return [];
  const bright = Array.from(brightest.keys()).filter((tube) => brightest[tube] > LEAST_BRIGHTNESS * top);
  return thin(bright, MOST_REFERENCE_TUBES);
}

function distanceAt(sweep: Sweep, at: number): number {
  return Math.sqrt(sweep.across[at] ** 2 + sweep.up[at] ** 2);
}

function farthest(sweep: Sweep, tubes: readonly number[]): number {
  let most = 0;
  for (const tube of tubes) {
    for (let at = tube * sweep.lamps; at < (tube + 1) * sweep.lamps; at++) {
      most = Math.max(most, distanceAt(sweep, at));
    }
  }
  return most;
}

function meanDistance(sweep: Sweep, tubes: readonly number[]): number {
  let light = 0;
  let weighted = 0;
  for (const tube of tubes) {
    for (let at = tube * sweep.lamps; at < (tube + 1) * sweep.lamps; at++) {
      if (!isClear(sweep, at)) continue;
      light += sweep.response[at];
      weighted += sweep.response[at] * distanceAt(sweep, at);
    }
  }
  return weighted / light;
}

function widthScatterAmong(shapes: readonly TubeShape[]): number {
  return WIDTH_SCATTER_MARGIN * Math.max(LEAST_WIDTH_SCATTER, madScale(shapes.map((shape) => shape[WIDTH])));
}

interface CentrePrior {
  /** Shapes centred where the field of all tubes puts the reference tubes. */
  readonly typical: readonly TubeShape[];
  /** Standard deviation of their own centres about that, along one axis. */
  readonly sigma: number;
}

/** Prior of the reference tubes' directions from the field of all; null where too few are known for a field. */
function centrePriorOf(
  sweep: Sweep,
  layout: TubeLayout,
  references: readonly number[],
  fits: readonly TubeFit[],
): CentrePrior | null {
  const across = new Float64Array(sweep.tubes).fill(Number.NaN);
  const up = new Float64Array(sweep.tubes).fill(Number.NaN);
  references.forEach((tube, i) => {
    across[tube] = fits[i].shape[CENTRE_ACROSS];
    up[tube] = fits[i].shape[CENTRE_UP];
  });
  // The fits' own uncertainty counts as scatter too; otherwise the prior would become tighter in each step.
  const open = median(
    fits.map(({ covariance }) => {
      const step = Math.sqrt(covariance.length) + 1;
      return (covariance[CENTRE_ACROSS * step] + covariance[CENTRE_UP * step]) / 2;
    }),
  );
  const field = fitPointingField(across, up, layout);
  return (
    field && {
      typical: references.map((tube) => roundShape(0, field.across[tube], field.up[tube])),
      sigma: Math.sqrt(field.scatter ** 2 + open),
    }
  );
}
