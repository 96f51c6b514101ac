import type { Alignment } from './align-views.js';
import type { LampView } from './lamp-view.js';
import { fallAt, type RadialSpline, valueAt } from './radial-spline.js';
import { PEAK_ERROR, SHARE_ERROR } from './tuning.js';

/** What is fitted to one shot. */
export interface ShotFit {
  /** Light of a typical tube on a lamp's axis. */
  readonly amplitude: number;
  /** The same in all cells. */
  readonly background: number;
  /** Common shift of the shot's lamps from their stated place, slopes. */
  readonly shift: readonly [number, number];
  /** Response of one tube to a lamp of this shot, which is no point. */
  readonly spline: RadialSpline;
}

/** The model of all shots with lamps. */
export interface ResponseModel {
  readonly alignment: Alignment;
  /** Response of one tube to a point-like lamp. */
  readonly spline: RadialSpline;
  readonly tubes: TubeTraits;
  readonly fits: readonly ShotFit[];
}

/** Each tube's own parameters; N tubes, reading order. */
export interface TubeTraits {
  /** Pointing error as slopes (2N: across, up); 0 where the shots do not determine it. */
  readonly pointing: Float64Array;
  /** Lamp light relative to even light; typically 1. */
  readonly gain: Float64Array;
  /** Robust weight: 1, less where no pointing and gain fit the tube's light. */
  readonly weight: Float64Array;
  /** Scatter of the pointing errors along one axis, as a slope. */
  readonly scatter: number;
}

interface ModelledShot {
  /** Light of amplitude 1. */
  readonly light: Float64Array;
  /** ∂light/∂(slope of the lamps off the axis), 2N. */
  readonly gradient: Float64Array;
  /** ∂light/∂ln(width of the response). */
  readonly byWidth: Float64Array;
}

/**
 * Light of one shot, and how it changes.
 *
 * @param view - aligned
 */
export function modelShot(
  view: LampView,
  { pointing, gain }: TubeTraits,
  { shift, spline }: Pick<ShotFit, 'shift' | 'spline'>,
): ModelledShot {
  const count = view.usable.length;
  const dark = spline.knots[spline.knots.length - 1];
  const light = new Float64Array(count);
  const gradient = new Float64Array(2 * count);
  const byWidth = new Float64Array(count);
  for (const { slopes, falloff } of view.lamps) {
    for (let k = 0; k < count; k++) {
      if (!view.usable[k]) continue;
      const x = slopes[2 * k] - shift[0] - pointing[2 * k];
      const y = slopes[2 * k + 1] - shift[1] - pointing[2 * k + 1];
      const square = x * x + y * y;
      if (square >= dark * dark) continue;
      const radius = Math.sqrt(square);
      const value = valueAt(spline, radius);
      if (value === 0) continue;
      const share = gain[k] * falloff[k];
      const fall = share * fallAt(spline, radius);
      light[k] += share * value;
      gradient[2 * k] += (fall * x) / Math.max(radius, 1e-12);
      gradient[2 * k + 1] += (fall * y) / Math.max(radius, 1e-12);
      byWidth[k] -= fall * radius;
    }
  }
  return { light, gradient, byWidth };
}

/** A value limited to a range. */
export function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most);
}

/** Standard uncertainty of a cell's light about the model, without that of the tube's pointing. */
export function cellSigma(view: LampView, amplitude: number, light: number, k: number): number {
  const noise = view.noise[k];
  const share = SHARE_ERROR * amplitude * light;
  const peak = PEAK_ERROR * amplitude;
  return Math.sqrt(noise * noise + share * share + peak * peak);
}
