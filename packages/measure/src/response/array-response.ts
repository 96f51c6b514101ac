import { type ArrayGeometry, absorbingWidthRad, tubeOf } from '@twolamp/optics';
import { Matrix, solve } from 'ml-matrix';
import { madScale } from '../statistics/robust.js';
import { emptySums, fitSpline, type SplineSums } from './fit-spline.js';
import type { LampView } from './lamp-view.js';
import {
  fallAt,
  gaussianSpline,
  halfWidthOf,
  knotBefore,
  knotsFor,
  type RadialSpline,
  valueAt,
} from './radial-spline.js';

/** What is fitted to one shot: brightness of its lamps, where they really stand, light everywhere. */
export interface ShotFit {
  readonly amplitude: number;
  readonly floor: number;
  /** Common shift of the shot's lamps as slopes, against where the tape measure puts them. */
  readonly shift: readonly [number, number];
}

/** The array's response to one lamp, learned from all shots with lamps. */
export interface ArrayResponse {
  readonly spline: RadialSpline;
  /** Pointing error of each tube as slopes (2N: across, up); 0 where the shots don't tell. */
  readonly pointing: Float64Array;
  /** Scatter of the tubes' pointing errors along one axis, as a slope. */
  readonly scatter: number;
  readonly fits: readonly ShotFit[];
  /** The spline's normal equations, one a tube, to draw tubes anew from. */
  readonly tubes: readonly SplineSums[];
}

const ROUNDS = 24;
/** Rounds before the tubes' own pointing is let in. */
const SETTLING_ROUNDS = 4;
/** Departure of real tubes from one common response: of the light at hand, and of the peak. Common practice, no source. */
const SHARE_ERROR = 0.03;
const PEAK_ERROR = 0.01;
/** How far lamps may stand off their stated place, in half widths. */
const SHIFT_HALF_WIDTHS = 0.3;
const START_SCATTER_HALF_WIDTHS = 0.1;
const SCATTER_BOUNDS_HALF_WIDTHS = [0.01, 0.5] as const;
/** A tube tells of its pointing where the shots know it this much better than the scatter. */
const TELLING_GAIN = 8;
const LEAST_TELLING = 10;
const RESTART_RATIO = 1.2;
const MAX_RESTARTS = 4;
const LEAST_LIT_CELLS = 12;

interface Modelled {
  readonly light: Float64Array;
  /** ∂light/∂(slope of the lamp off the axis), 2N. */
  readonly gradient: Float64Array;
}

/** Light of amplitude 1, and how it changes as the lamps move. */
function modelShot(
  view: LampView,
  spline: RadialSpline,
  shift: readonly [number, number],
  pointing: Float64Array,
): Modelled {
  const count = view.usable.length;
  const light = new Float64Array(count);
  const gradient = new Float64Array(2 * count);
  for (const { slopes, falloff } of view.lamps) {
    for (let k = 0; k < count; k++) {
      if (!view.usable[k]) continue;
      const x = slopes[2 * k]! - shift[0] - pointing[2 * k]!;
      const y = slopes[2 * k + 1]! - shift[1] - pointing[2 * k + 1]!;
      const radius = Math.hypot(x, y);
      const value = valueAt(spline, radius);
      if (value === 0) continue;
      light[k]! += falloff[k]! * value;
      const fall = (falloff[k]! * fallAt(spline, radius)) / Math.max(radius, 1e-12);
      gradient[2 * k]! += fall * x;
      gradient[2 * k + 1]! += fall * y;
    }
  }
  return { light, gradient };
}

/** Standard uncertainty of a cell's light about the model, tubes' pointing aside. */
function cellSigma(view: LampView, amplitude: number, light: number, k: number): number {
  return Math.hypot(view.noise[k]!, SHARE_ERROR * amplitude * light, PEAK_ERROR * amplitude);
}

interface State {
  spline: RadialSpline;
  pointing: Float64Array;
  scatter: number;
  fits: ShotFit[];
}

/** Brightness, floor and shift of one shot, by one Gauss–Newton step from where it is. */
function fitShot(view: LampView, state: State, fit: ShotFit, halfWidth: number, moves: boolean): ShotFit {
  const { light, gradient } = modelShot(view, state.spline, fit.shift, state.pointing);
  const square = Matrix.zeros(4, 4);
  const side = Matrix.zeros(4, 1);
  for (let k = 0; k < light.length; k++) {
    if (!view.usable[k]) continue;
    const [gx, gy] = [gradient[2 * k]!, gradient[2 * k + 1]!];
    const astray = fit.amplitude * state.scatter * Math.hypot(gx, gy);
    const weight = 1 / (cellSigma(view, fit.amplitude, light[k]!, k) ** 2 + astray ** 2);
    const row = [light[k]!, -fit.amplitude * gx, -fit.amplitude * gy, 1];
    for (let r = 0; r < 4; r++) {
      side.set(r, 0, side.get(r, 0) + weight * row[r]! * view.light[k]!);
      for (let c = 0; c < 4; c++) square.set(r, c, square.get(r, c) + weight * row[r]! * row[c]!);
    }
  }
  const hold = 1 / (SHIFT_HALF_WIDTHS * halfWidth) ** 2;
  for (const r of [1, 2] as const) {
    square.set(r, r, square.get(r, r) + hold);
    side.set(r, 0, side.get(r, 0) - hold * fit.shift[r - 1]!);
  }
  const solved = solve(square, side).to1DArray();
  if (!solved.every(Number.isFinite) || !(solved[0]! > 0)) return fit;
  const step = (value: number): number =>
    moves ? Math.min(Math.max(value, -0.2 * halfWidth), 0.2 * halfWidth) : 0;
  return {
    amplitude: solved[0]!,
    floor: solved[3]!,
    shift: [fit.shift[0] + step(solved[1]!), fit.shift[1] + step(solved[2]!)],
  };
}

/** Each tube's pointing error, held to the scatter of all; then the scatter itself. */
function pointTubes(views: readonly LampView[], state: State, halfWidth: number): void {
  const count = state.pointing.length / 2;
  const info = new Float64Array(3 * count);
  const pull = new Float64Array(2 * count);
  views.forEach((view, n) => {
    const fit = state.fits[n]!;
    const { light, gradient } = modelShot(view, state.spline, fit.shift, state.pointing);
    for (let k = 0; k < count; k++) {
      if (!view.usable[k] || light[k] === 0) continue;
      const weight = 1 / cellSigma(view, fit.amplitude, light[k]!, k) ** 2;
      const miss = view.light[k]! - fit.floor - fit.amplitude * light[k]!;
      const [jx, jy] = [-fit.amplitude * gradient[2 * k]!, -fit.amplitude * gradient[2 * k + 1]!];
      info[3 * k]! += weight * jx * jx;
      info[3 * k + 1]! += weight * jx * jy;
      info[3 * k + 2]! += weight * jy * jy;
      pull[2 * k]! += weight * jx * miss;
      pull[2 * k + 1]! += weight * jy * miss;
    }
  });
  const hold = 1 / state.scatter ** 2;
  const found: number[] = [];
  const variances: number[] = [];
  for (let k = 0; k < count; k++) {
    const [xx, xy, yy] = [info[3 * k]! + hold, info[3 * k + 1]!, info[3 * k + 2]! + hold];
    const determinant = xx * yy - xy * xy;
    const px = pull[2 * k]! - hold * state.pointing[2 * k]!;
    const py = pull[2 * k + 1]! - hold * state.pointing[2 * k + 1]!;
    const clamp = (step: number): number => Math.min(Math.max(step, -0.3 * halfWidth), 0.3 * halfWidth);
    state.pointing[2 * k]! += clamp((yy * px - xy * py) / determinant);
    state.pointing[2 * k + 1]! += clamp((xx * py - xy * px) / determinant);
    if (info[3 * k]! + info[3 * k + 2]! > TELLING_GAIN * hold) {
      found.push(state.pointing[2 * k]!, state.pointing[2 * k + 1]!);
      variances.push(yy / determinant, xx / determinant);
    }
  }
  if (found.length < 2 * LEAST_TELLING) return;
  const mean = variances.reduce((sum, value) => sum + value, 0) / variances.length;
  const [least, most] = SCATTER_BOUNDS_HALF_WIDTHS;
  state.scatter = Math.min(
    Math.max(Math.hypot(madScale(found, 0), Math.sqrt(mean)), least * halfWidth),
    most * halfWidth,
  );
}

/** The spline's normal equations, one a tube. */
function splineSums(views: readonly LampView[], state: State): SplineSums[] {
  const { knots } = state.spline;
  const n = knots.length;
  const count = state.pointing.length / 2;
  const tubes = Array.from({ length: count }, () => emptySums(n));
  const row = new Float64Array(n);
  views.forEach((view, shot) => {
    const { amplitude, floor, shift } = state.fits[shot]!;
    const { light, gradient } = modelShot(view, state.spline, shift, state.pointing);
    for (let k = 0; k < count; k++) {
      if (!view.usable[k]) continue;
      row.fill(0);
      const touched: number[] = [];
      for (const { slopes, falloff } of view.lamps) {
        const x = slopes[2 * k]! - shift[0] - state.pointing[2 * k]!;
        const y = slopes[2 * k + 1]! - shift[1] - state.pointing[2 * k + 1]!;
        const radius = Math.hypot(x, y);
        const before = knotBefore(knots, radius);
        if (before < 0) continue;
        const share = (radius - knots[before]!) / (knots[before + 1]! - knots[before]!);
        row[before]! += falloff[k]! * (1 - share);
        row[before + 1]! += falloff[k]! * share;
        touched.push(before, before + 1);
      }
      if (touched.length === 0) continue;
      const astray = 0.5 * state.scatter * Math.hypot(gradient[2 * k]!, gradient[2 * k + 1]!);
      const weight = 1 / ((cellSigma(view, amplitude, light[k]!, k) / amplitude) ** 2 + astray ** 2);
      const target = (view.light[k]! - floor) / amplitude;
      const { square, side } = tubes[k]!;
      const distinct = [...new Set(touched)];
      for (const r of distinct) {
        side[r]! += weight * row[r]! * target;
        for (const c of distinct) square[r * n + c]! += weight * row[r]! * row[c]!;
      }
    }
  });
  return tubes;
}

/** Sum over tubes, each counted `times(k)` times. */
export function addUp(tubes: readonly SplineSums[], times: (tube: number) => number): SplineSums {
  const total = emptySums(tubes[0]!.side.length);
  tubes.forEach(({ square, side }, k) => {
    const weight = times(k);
    if (weight === 0) return;
    for (let n = 0; n < side.length; n++) total.side[n]! += weight * side[n]!;
    for (let n = 0; n < square.length; n++) total.square[n]! += weight * square[n]!;
  });
  return total;
}

function learnWith(views: readonly LampView[], halfWidth: number, tubes: number): ArrayResponse {
  const state: State = {
    spline: gaussianSpline(halfWidth),
    pointing: new Float64Array(2 * tubes),
    scatter: START_SCATTER_HALF_WIDTHS * halfWidth,
    fits: views.map((view) => ({
      amplitude: view.light.reduce((most, light) => Math.max(most, light), 0),
      floor: 0,
      shift: [0, 0],
    })),
  };
  let sums: SplineSums[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    state.fits = views.map((view, n) => fitShot(view, state, state.fits[n]!, halfWidth, round > 0));
    if (round >= SETTLING_ROUNDS) pointTubes(views, state, halfWidth);
    sums = splineSums(views, state);
    state.spline = fitSpline(
      knotsFor(halfWidth),
      addUp(sums, () => 1),
    );
  }
  return { ...state, tubes: sums };
}

/**
 * The array's response to one lamp from all shots of one lamp or two, everything in turn until it agrees: where each
 * shot's lamps really stand, how bright they are, where each tube really looks, and the response they share.
 *
 * Tubes' own pointing is found at the same time, held to its scatter over the array, so that a badly aimed tube neither
 * widens the response nor looks like light of its own.
 *
 * @param views - shots from {@link viewLamps}
 * @returns null where too few cells are lit to tell
 */
export function learnArrayResponse(array: ArrayGeometry, views: readonly LampView[]): ArrayResponse | null {
  const lit = views.filter((view) => {
    const top = view.light.reduce((most, light) => Math.max(most, light), 0);
    return top > 0 && view.light.some((light, k) => light > 0.2 * top && light > 5 * view.noise[k]!);
  });
  const cells = lit.reduce(
    (sum, view) => sum + view.light.filter((light, k) => light > 8 * view.noise[k]!).length,
    0,
  );
  if (lit.length === 0 || cells < LEAST_LIT_CELLS) return null;
  const tubes = array.rows * array.columns;
  let halfWidth = 0.65 * absorbingWidthRad(tubeOf(array));
  let learned = learnWith(views, halfWidth, tubes);
  for (let restart = 0; restart < MAX_RESTARTS; restart++) {
    const found = halfWidthOf(learned.spline);
    if (Math.max(found / halfWidth, halfWidth / found) < RESTART_RATIO) break;
    halfWidth = found;
    learned = learnWith(views, halfWidth, tubes);
  }
  return learned;
}
