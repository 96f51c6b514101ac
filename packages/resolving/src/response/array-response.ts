import { median, type NormalEquations } from '@twolamp/numeric';
import { type ArrayGeometry, absorbingWidthRad, angularPitch, tubeLayout, tubeOf } from '@twolamp/optics';
import { alignViews, roughAim } from './align-views.js';
import { withoutCommonPointing } from './common-pointing.js';
import { fitShots } from './fit-shots.js';
import { fitSpline } from './fit-spline.js';
import { fitTubes } from './fit-tubes.js';
import type { LampView } from './lamp-view.js';
import { blurred, gaussianSpline, halfWidthOf, litSpline, type RadialSpline } from './radial-spline.js';
import type { ResponseModel, ShotFit, TubeTraits } from './response-model.js';
import { allSplineEquations, splineEquations } from './spline-equations.js';
import { NO_THEORY, type ResponseTheory, theoryOf } from './response-theory.js';
import { LEAST_LIT_CELLS } from './tuning.js';

/** The array's response to one lamp, fitted to all shots with lamps. */
export interface ArrayResponse extends ResponseModel {
  /** Response averaged over the scatter of pointing: the mean image of a lamp, as if tubes stood everywhere. */
  readonly mean: RadialSpline;
  /** The shots as given, aligned. */
  readonly views: readonly LampView[];
  /** What held the spline's curvature, for the bootstrap over tubes. */
  readonly theory: ResponseTheory;
  /** The spline's normal equations, one a tube, for the bootstrap over tubes. */
  readonly equations: readonly NormalEquations[];
  readonly stopped: 'converged' | 'round-limit';
}

const MOST_ROUNDS = 100;
/** Rounds before the tubes' own pointing and gain are fitted, and before convergence is looked for. */
const SETTLING_ROUNDS = 4;
const LEAST_ROUNDS = 10;
/** Largest change of the response in one round at convergence, a share of its peak: small against the 1 % of PEAK_ERROR. */
const SETTLED = 5e-4;
/** Scatter of pointing to start from, in half widths. */
const START_SCATTER_HALF_WIDTHS = 0.1;
/** The knots follow the half width: the fit starts anew where that has changed by more than this factor. */
const RESTART_RATIO = 1.2;
const MAX_RESTARTS = 4;
/** Fits against theory, each with the width that the last one found, until it changes by less than this share. */
const THEORY_SETTLED = 0.002;
const MOST_THEORY_PASSES = 4;

interface Start {
  readonly aim: readonly [number, number];
  /** Slope between the directions in which two neighbours see a lamp, as stated. */
  readonly pitchSlope: number;
  readonly halfWidth: number;
  readonly tubes: number;
  readonly theory: ResponseTheory;
}

function startModel(raw: readonly LampView[], { aim, halfWidth, tubes, theory }: Start): ResponseModel {
  return {
    alignment: { aim, fan: [0, 0], widening: theory.widening },
    spline: gaussianSpline(halfWidth),
    tubes: {
      pointing: new Float64Array(2 * tubes),
      gain: new Float64Array(tubes).fill(1),
      weight: new Float64Array(tubes).fill(1),
      scatter: START_SCATTER_HALF_WIDTHS * halfWidth,
    },
    fits: raw.map((view) => ({
      amplitude: view.light.reduce((most, light) => Math.max(most, light), 0),
      background: 0,
      shift: [0, 0],
      spline: gaussianSpline(halfWidth),
    })),
  };
}

/** @param earlier - to go on from; null = from a Gaussian */
function learnWith(raw: readonly LampView[], start: Start, earlier: ResponseModel | null): ArrayResponse {
  const { pitchSlope, halfWidth, theory } = start;
  const [settling, least] = earlier ? [0, 1] : [SETTLING_ROUNDS, LEAST_ROUNDS];
  const scales = { halfWidth, pitchSlope, widening: theory.widening };
  let model = earlier ?? startModel(raw, start);
  let views = alignViews(raw, model.alignment);
  let fitted = model;
  let stopped: ArrayResponse['stopped'] = 'round-limit';
  for (let round = 0; round < MOST_ROUNDS && stopped === 'round-limit'; round++) {
    const { values: before } = model.spline;
    model = fitShots(views, model, scales, earlier !== null || round > 0);
    views = alignViews(raw, model.alignment);
    model = modelWith(model, model.spline, views);
    if (round >= settling) {
      model = withoutCommonPointing(withTubes(model, fitTubes(views, model, halfWidth)), views);
      views = alignViews(raw, model.alignment);
    }
    fitted = model;
    const { knots } = model.spline;
    const spline = fitSpline(knots, allSplineEquations(views, model), raw.length, theory);
    const change = spline.values.reduce((most, value, n) => Math.max(most, Math.abs(value - before[n])), 0);
    if (round >= least && change < SETTLED) stopped = 'converged';
    model = modelWith(model, spline, views);
  }
  const equations = splineEquations(views, fitted);
  return { ...model, theory, mean: blurred(model.spline, model.tubes.scatter), views, equations, stopped };
}

function withTubes({ alignment, spline, fits }: ResponseModel, tubes: TubeTraits): ResponseModel {
  return { alignment, spline, tubes, fits };
}

/** The model with a response to a point, and each shot's response to its own lamps from it. */
function modelWith(
  { alignment, tubes, fits }: ResponseModel,
  spline: RadialSpline,
  views: readonly LampView[],
): ResponseModel {
  return { alignment, spline, tubes, fits: withLamps(fits, views, spline) };
}

/** Each shot's response to its own lamps, from that to a point. */
function withLamps(fits: readonly ShotFit[], views: readonly LampView[], spline: RadialSpline): ShotFit[] {
  const byRadius = new Map<number, RadialSpline>();
  return fits.map((fit, n) => {
    const { discRadius } = views[n];
    const lit = byRadius.get(discRadius) ?? litSpline(spline, discRadius);
    byRadius.set(discRadius, lit);
    const { amplitude, background, shift } = fit;
    return { amplitude, background, shift, spline: lit };
  });
}

/**
 * Fits the array's response to one lamp to all shots of one lamp or two. Each round fits in turn: alignment, brightness
 * and place of each shot's lamps; pointing and gain of each tube, with their scatter as prior; the response that all
 * tubes share. Without the tubes' own pointing a badly aimed tube would widen the shared response; its mean over the
 * scatter of pointing is returned as well.
 *
 * @param views - shots from {@link viewLamps}
 * @returns null where too few cells are lit, or their light doesn't lie where any lamp is
 */
export function learnArrayResponse(array: ArrayGeometry, views: readonly LampView[]): ArrayResponse | null {
  const lit = views.filter((view) => {
    const top = view.light.reduce((most, light) => Math.max(most, light), 0);
    return top > 0 && view.light.some((light, k) => light > 0.2 * top && light > 5 * view.noise[k]);
  });
  const cells = lit.reduce(
    (sum, view) => sum + view.light.filter((light, k) => light > 8 * view.noise[k]).length,
    0,
  );
  if (lit.length === 0 || cells < LEAST_LIT_CELLS) return null;
  const pitchSlope = median(views.map(({ shot }) => angularPitch(array, shot.distanceMm)));
  const aim = roughAim(views, pitchSlope);
  const tube = tubeOf(array);
  const learnFrom = (start: number, theory = NO_THEORY, earlier: ResponseModel | null = null) =>
    learnWith(views, { aim, pitchSlope, halfWidth: start, tubes: tubeLayout(array).count, theory }, earlier);
  let halfWidth = 0.65 * absorbingWidthRad(tube);
  let learned = learnFrom(halfWidth);
  for (let restart = 0; restart < MAX_RESTARTS; restart++) {
    const found = halfWidthOf(learned.spline);
    if (found === 0) return null;
    if (Math.max(found / halfWidth, halfWidth / found) < RESTART_RATIO) break;
    halfWidth = found;
    learned = learnFrom(halfWidth);
  }
  for (let pass = 0; pass < MOST_THEORY_PASSES; pass++) {
    const before = halfWidthOf(learned.spline);
    learned = learnFrom(halfWidth, theoryOf(tube, learned.spline), learned);
    if (Math.abs(halfWidthOf(learned.spline) / before - 1) < THEORY_SETTLED) break;
  }
  return learned;
}
