import { median, type NormalEquations } from '@twolamp/numeric';
import { type ArrayGeometry, absorbingWidthRad, angularPitch, tubeLayout, tubeOf } from '@twolamp/optics';
import { alignViews, roughAim } from './align-views.js';
import { fitShots, WIDENING } from './fit-shots.js';
import { fitSpline } from './fit-spline.js';
import { fitTubes } from './fit-tubes.js';
import type { LampView } from './lamp-view.js';
import { blurred, gaussianSpline, halfWidthOf, knotsFor, type RadialSpline } from './radial-spline.js';
import type { ResponseModel } from './response-model.js';
import { addUp, splineSums } from './spline-sums.js';
import { LEAST_LIT_CELLS } from './tuning.js';

/** The array's response to one lamp, learned from all shots with lamps. */
export interface ArrayResponse extends ResponseModel {
  /** Response of all tubes together, each as it looks: what the array makes of a lamp, as if tubes stood everywhere. */
  readonly mean: RadialSpline;
  /** The shots as given, aligned. */
  readonly views: readonly LampView[];
  /** The spline's normal equations, one a tube, to draw tubes anew from. */
  readonly sums: readonly NormalEquations[];
  readonly stopped: 'converged' | 'round-limit';
}

const MOST_ROUNDS = 40;
/** Rounds before the tubes' own traits are let in, and before an end is looked for. */
const SETTLING_ROUNDS = 4;
const LEAST_ROUNDS = 10;
/** The response has settled when no value of it changes by more than this share of its peak in a round. */
const SETTLED = 5e-4;
const START_SCATTER_HALF_WIDTHS = 0.1;
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
      trust: new Float64Array(tubes).fill(1),
      scatter: START_SCATTER_HALF_WIDTHS * halfWidth,
    },
    fits: raw.map((view) => ({
      amplitude: view.light.reduce((most, light) => Math.max(most, light), 0),
      floor: 0,
      shift: [0, 0],
    })),
  };
  let views = alignViews(raw, model.alignment);
  let sums: NormalEquations[] = [];
  let stopped: ArrayResponse['stopped'] = 'round-limit';
  for (let round = 0; round < MOST_ROUNDS && stopped === 'round-limit'; round++) {
    model = { ...model, ...fitShots(views, model, halfWidth, pitchSlope, round > 0) };
    views = alignViews(raw, model.alignment);
    if (round >= SETTLING_ROUNDS) model = { ...model, tubes: fitTubes(views, model, halfWidth) };
    sums = splineSums(views, model);
    const total = addUp(sums, () => 1);
    const spline = fitSpline(knotsFor(halfWidth), total);
    const change = spline.values.reduce(
      (most, value, n) => Math.max(most, Math.abs(value - model.spline.values[n])),
      0,
    );
    if (round >= LEAST_ROUNDS && change < SETTLED) stopped = 'converged';
    model = { ...model, spline };
  }
  return { ...model, mean: blurred(model.spline, model.tubes.scatter), views, sums, stopped };
}

/**
 * The array's response to one lamp from all shots of one lamp or two, everything in turn until it agrees: where the array
 * and each shot's lamps really stand, how bright they are, where each tube really looks, and the response they share.
 *
 * Tubes' own pointing is found at the same time, held to its scatter over the array, so that a badly aimed tube doesn't
 * look like light of its own; what the scatter takes from the array is put back into its mean response.
 *
 * @param views - shots from {@link viewLamps}
 * @returns null where too few cells are lit to tell
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
    if (Math.max(found / halfWidth, halfWidth / found) < RESTART_RATIO) break;
    halfWidth = found;
    learned = learnFrom(halfWidth);
  }
  return learned;
}
