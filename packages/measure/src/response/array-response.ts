import { median, type NormalEquations } from '@twolamp/numeric';
import { type ArrayGeometry, absorbingWidthRad, angularPitch, tubeLayout, tubeOf } from '@twolamp/optics';
import { alignViews, roughAim } from './align-views.js';
import { fitShots, WIDENING } from './fit-shots.js';
import { fitSpline } from './fit-spline.js';
import { fitTubes } from './fit-tubes.js';
import type { LampView } from './lamp-view.js';
import { blurred, gaussianSpline, halfWidthOf, knotsFor, type RadialSpline } from './radial-spline.js';
import type { ResponseModel } from './response-model.js';
import { allSplineEquations, splineEquations } from './spline-equations.js';
import { LEAST_LIT_CELLS } from './tuning.js';

/** The array's response to one lamp, fitted to all shots with lamps. */
export interface ArrayResponse extends ResponseModel {
  /** Response averaged over the scatter of pointing: the mean image of a lamp, as if tubes stood everywhere. */
  readonly mean: RadialSpline;
  /** The shots as given, aligned. */
  readonly views: readonly LampView[];
  /** The spline's normal equations, one a tube, for the bootstrap over tubes. */
  readonly equations: readonly NormalEquations[];
  readonly stopped: 'converged' | 'round-limit';
}

const MOST_ROUNDS = 40;
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

interface Start {
  readonly aim: readonly [number, number];
  /** Slope between the directions in which two neighbours see a lamp, as stated. */
  readonly pitchSlope: number;
  readonly halfWidth: number;
  readonly tubes: number;
}

function learnWith(raw: readonly LampView[], { aim, pitchSlope, halfWidth, tubes }: Start): ArrayResponse {
  let model: ResponseModel = {
    alignment: { aim, fan: [0, 0], widening: WIDENING },
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
    })),
  };
  let views = alignViews(raw, model.alignment);
  let fitted = model;
  let stopped: ArrayResponse['stopped'] = 'round-limit';
  for (let round = 0; round < MOST_ROUNDS && stopped === 'round-limit'; round++) {
    model = { ...model, ...fitShots(views, model, halfWidth, pitchSlope, round > 0) };
    views = alignViews(raw, model.alignment);
    if (round >= SETTLING_ROUNDS) model = { ...model, tubes: fitTubes(views, model, halfWidth) };
    fitted = model;
    const spline = fitSpline(knotsFor(halfWidth), allSplineEquations(views, model), raw.length);
    const change = spline.values.reduce(
      (most, value, n) => Math.max(most, Math.abs(value - model.spline.values[n])),
      0,
    );
    if (round >= LEAST_ROUNDS && change < SETTLED) stopped = 'converged';
    model = { ...model, spline };
  }
  const equations = splineEquations(views, fitted);
  return { ...model, mean: blurred(model.spline, model.tubes.scatter), views, equations, stopped };
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
  const learnFrom = (start: number) =>
    learnWith(views, { aim, pitchSlope, halfWidth: start, tubes: tubeLayout(array).count });
  let halfWidth = 0.65 * absorbingWidthRad(tubeOf(array));
  let learned = learnFrom(halfWidth);
  for (let restart = 0; restart < MAX_RESTARTS; restart++) {
    const found = halfWidthOf(learned.spline);
    if (found === 0) return null;
    if (Math.max(found / halfWidth, halfWidth / found) < RESTART_RATIO) break;
    halfWidth = found;
    learned = learnFrom(halfWidth);
  }
  return learned;
}
