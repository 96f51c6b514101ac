import {
  fitPointingField,
  fitRobustSurface,
  madScale,
  median,
  supportedDegree,
  thin,
} from '@twolamp/numeric';
import type { TubeLayout } from '@twolamp/optics';
import { fitTube, type TubeFit } from './fit-tube.js';
import { learnProfile, type PooledAnswers, profileKnots } from './learn-profile.js';
import { firstModelError, learnModelError, type ModelError } from './model-error.js';
import { poolAnswers } from './pool-answers.js';
import { fitHeight, roundShape, startShape } from './start-shapes.js';
import type { Sweep } from './sweep.js';
import { clearAnswers, type EvenLight, isClear, LEAST_CLEAR, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  acceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  lightOfShape,
  SHARED_SIZE,
  type TubeShape,
  WIDTH,
} from './tube-shape.js';
import {
  EVEN_TREND_DEGREE,
  LEAST_BRIGHTNESS,
  LEAST_EVEN_LIGHT,
  LEAST_EVEN_UNCERTAINTY,
  LEAST_REFERENCE_TUBES,
  LEAST_WIDTH_SCATTER,
  TUBES_PER_TERM,
  WIDTH_SCATTER_MARGIN,
  WIDTH_UNCERTAINTY,
} from './tuning.js';

/** What the tubes of an array have in common. */
export interface CommonAcceptance {
  readonly acceptance: AcceptanceProfile;
  /** Standard uncertainty of the width all tubes have in common, a share of it. */
  readonly widthShare: number;
  readonly modelError: ModelError;
  /** How far a healthy tube's log of width strays from 0. */
  readonly straying: number;
  /** Integral of a usual tube's acceptance, in the unit of the sweep's answers. */
  readonly usualLight: number;
  /** What even light says of each tube's acceptance; null where it says nothing. */
  readonly evenLight: (tube: number) => EvenLight | null;
  readonly stopped: 'converged' | 'step-limit';
}

/** More tubes than these teach the shape nothing new. */
const MOST_LEARNERS = 800;
const STEP_LIMIT = 24;
const FIRST_STEPS = 4;
/** Relative change of the half-maximum radius that counts as none. */
const SETTLED = 0.002;

/** Straying of the log of width to begin with, and the least that is ever assumed. */
const FIRST_STRAYING = 0.1;

/** Prior of a tube of the shared shape: height and centre anything, log of width as it strays. */
export function sharedPrior(straying: number): Float64Array {
  const sigma = new Float64Array(SHARED_SIZE).fill(Number.POSITIVE_INFINITY);
  sigma[WIDTH] = straying;
  return sigma;
}

/**
 * Learns the acceptance that an array's tubes share from a sweep: each tube by itself is sampled by few lamps, all
 * together sample it densely. The tubes' own parameters and the shared profile are fitted in turns until the half
 * maximum settles.
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
  const answers = clearAnswers(sweep);
  const brightest = median(answers.brightest.filter((light) => light > 0));
  const learners = chooseLearners(answers, brightest);
  if (learners.length === 0) return null;
  const reach = 1.2 * farthest(sweep, learners);
  const scale = meanDistance(sweep, learners);
  let acceptance = firstAcceptance(sweep, learners, brightest, scale, reach);
  let shapes: TubeShape[] | null = null;
  let modelError = firstModelError(brightest);
  let straying = FIRST_STRAYING;
  let aim: LearnersAim | null = null;
  let evenLight: CommonAcceptance['evenLight'] = () => null;
  let stopped: CommonAcceptance['stopped'] = 'step-limit';
  let pooled: PooledAnswers | null = null;
  let settledSteps = 0;
  for (let step = 0; step < STEP_LIMIT && stopped === 'step-limit'; step++) {
    const data = learners.map((tube) => tubeData(sweep, tube, modelError, evenLight(tube)));
    const prior = sharedPrior(straying);
    if (aim) prior.fill(aim.sigma, CENTRE_ACROSS, CENTRE_UP + 1);
    const fits: TubeFit[] = data.map((one, i) =>
      fitTube(acceptance, one, shapes?.[i] ?? startShape(acceptance, one), prior, aim?.usual[i]),
    );
    shapes = fits.map((fit) => fit.shape);
    modelError = learnModelError(sweep, learners, acceptance, fits, brightest, modelError);
    const middle = median(shapes.map((shape) => shape[WIDTH]));
    const before = acceptance.halfRadius;
    pooled = poolAnswers(acceptance, data, shapes, middle);
    acceptance = learnt(sweep, acceptance.meanRadius, reach, pooled);
    if (step >= 2) straying = strayingAmong(shapes);
    if (step >= 1) aim = aimOf(sweep, layout, learners, fits);
    evenLight = evenLightOf(layout, learners, shapes, acceptance, relative, relativeSigma);
    settledSteps = Math.abs(acceptance.halfRadius / before - 1) < SETTLED ? settledSteps + 1 : 0;
    if (step >= FIRST_STEPS && settledSteps >= 2) stopped = 'converged';
  }
  const usualLight = median(shapes!.map((shape) => lightOfShape(acceptance, shape)));
  const inside = pooled!.radius.filter(
    (radius, at) => radius < acceptance.halfRadius && pooled!.weight[at] > 0,
  );
  return {
    acceptance,
    widthShare: WIDTH_UNCERTAINTY / Math.sqrt(Math.max(1, inside.length)),
    modelError,
    straying,
    usualLight,
    evenLight,
    stopped,
  };
}

/**
 * Bright tubes, evenly picked from the whole array: those that one lamp alone lights too, for they know the top of the
 * profile best. None where hardly any is lit by several lamps.
 *
 * @param usual - what a usual tube answers to its best lamp
 */
function chooseLearners({ count, brightest }: ReturnType<typeof clearAnswers>, usual: number): number[] {
  if (count.filter((lamps) => lamps >= LEAST_CLEAR).length < LEAST_REFERENCE_TUBES) return [];
  const bright = Array.from(brightest.keys()).filter((tube) => brightest[tube] > LEAST_BRIGHTNESS * usual);
  return thin(bright, MOST_LEARNERS);
}

function distanceAt(sweep: Sweep, at: number): number {
  return Math.sqrt(sweep.across[at] ** 2 + sweep.up[at] ** 2);
}

function placesOf(sweep: Sweep, tubes: readonly number[]): number[] {
  return tubes.flatMap((tube) => Array.from({ length: sweep.lamps }, (_, k) => tube * sweep.lamps + k));
}

function farthest(sweep: Sweep, tubes: readonly number[]): number {
  return placesOf(sweep, tubes).reduce((most, at) => Math.max(most, distanceAt(sweep, at)), 0);
}

function meanDistance(sweep: Sweep, tubes: readonly number[]): number {
  const clear = placesOf(sweep, tubes).filter((at) => isClear(sweep, at));
  const light = clear.reduce((sum, at) => sum + sweep.response[at], 0);
  return clear.reduce((sum, at) => sum + sweep.response[at] * distanceAt(sweep, at), 0) / light;
}

/** A first profile with all tubes taken to look where they should. @param usual - see {@link chooseLearners} */
function firstAcceptance(
  sweep: Sweep,
  learners: readonly number[],
  usual: number,
  scale: number,
  reach: number,
): AcceptanceProfile {
  const data = learners.map((tube) => tubeData(sweep, tube, firstModelError(usual), null));
  let shapes = data.map(() => roundShape(usual, 0, 0));
  let acceptance: AcceptanceProfile | null = null;
  for (let step = 0; step < FIRST_STEPS || acceptance === null; step++) {
    const found = learnt(sweep, scale, reach, poolAnswers(null, data, shapes, 0));
    shapes = data.map((one) => roundShape(fitHeight(found, one, 0, 0).height, 0, 0));
    acceptance = found;
  }
  return acceptance;
}

/** @param scale - mean radius of the acceptance, roughly */
function learnt({ rounded }: Sweep, scale: number, reach: number, pooled: PooledAnswers): AcceptanceProfile {
  return acceptanceProfile(learnProfile(profileKnots(scale, rounded, reach), scale, pooled));
}

function strayingAmong(shapes: readonly TubeShape[]): number {
  return WIDTH_SCATTER_MARGIN * Math.max(LEAST_WIDTH_SCATTER, madScale(shapes.map((shape) => shape[WIDTH])));
}

interface LearnersAim {
  /** Shapes with the learners' centres in their neighbours' field. */
  readonly usual: readonly TubeShape[];
  /** How far their own may be off, along one axis. */
  readonly sigma: number;
}

/** Where the learners' neighbours look; null where too few are known for a field. */
function aimOf(
  sweep: Sweep,
  layout: TubeLayout,
  learners: readonly number[],
  fits: readonly TubeFit[],
): LearnersAim | null {
  const across = new Float64Array(sweep.tubes).fill(Number.NaN);
  const up = new Float64Array(sweep.tubes).fill(Number.NaN);
  learners.forEach((tube, i) => {
    across[tube] = fits[i].shape[CENTRE_ACROSS];
    up[tube] = fits[i].shape[CENTRE_UP];
  });
  // What each answer leaves open counts as scatter too, or the prior would pull ever tighter.
  const open = median(
    fits.map(({ covariance }) => {
      const step = Math.sqrt(covariance.length) + 1;
      return (covariance[CENTRE_ACROSS * step] + covariance[CENTRE_UP * step]) / 2;
    }),
  );
  const field = fitPointingField(across, up, layout);
  return (
    field && {
      usual: learners.map((tube) => roundShape(0, field.across[tube], field.up[tube])),
      sigma: Math.sqrt(field.scatter ** 2 + open),
    }
  );
}

/** The sweep's light against the transmission in even light, as a smooth trend over the array. */
function evenLightOf(
  layout: TubeLayout,
  learners: readonly number[],
  shapes: readonly TubeShape[],
  acceptance: AcceptanceProfile,
  relative: ArrayLike<number> | null,
  relativeSigma: ArrayLike<number> | null,
): CommonAcceptance['evenLight'] {
  if (relative === null) return () => null;
  const x = learners.map((tube) => layout.across[tube]);
  const y = learners.map((tube) => layout.up[tube]);
  const logs = learners.map((tube, i) => Math.log(lightOfShape(acceptance, shapes[i]) / relative[tube]));
  const known = logs.filter(Number.isFinite).length;
  const degree = supportedDegree(known, TUBES_PER_TERM, EVEN_TREND_DEGREE, 0);
  if (degree === null) return () => null;
  const trend = fitRobustSurface(x, y, logs, degree);
  const share = Math.max(LEAST_EVEN_UNCERTAINTY, trend.scale);
  return (tube) => {
    const own = relative[tube];
    if (!(own > LEAST_EVEN_LIGHT)) return null;
    const light = own * Math.exp(trend.at(layout.across[tube], layout.up[tube]));
    return { light, share: Math.hypot(share, (relativeSigma?.[tube] ?? 0) / own) };
  };
}
