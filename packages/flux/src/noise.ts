import { orderOf, selectSmallest } from '@twolamp/numeric';
import { type Region, somePixels } from './region.js';
import { MOST_NOISE_PIXELS, NOISE_BINS } from './tuning.js';

/** Tolerance. Least pixels in each bin: a variance is then known to a third. */
const LEAST_PER_BIN = 60;

/** Variance of a pixel of the reduced picture: floor + gain · light (read noise and shot noise). */
export interface Noise {
  readonly floor: number;
  readonly gain: number;
}

/**
 * No pixel's standard deviation is less than 0.0001 of full scale: rounding to 8 bits in sRGB (IEC 61966-2-1) has 0.00009
 * at black. Where rounding and compression have left a dark place all of one value, its residuals show no noise at all.
 */
const LEAST_VARIANCE = 1e-8;
/** Median of the square of a standard normal value, i.e. of χ² with one degree of freedom (tables of χ²). */
const MEDIAN_CHI_SQUARE = 0.45493642;

/**
 * Noise from what a fit leaves over, robustly: the median square in bins of modelled light, then a straight line
 * through the bins (photon transfer; EMVA Standard 1288, the linear model's section).
 *
 * @param region - pixels that count
 * @param residual - picture minus model
 * @param model - modelled light
 * @param usable - 1 for pixels that may be used
 * @param most - pixels to use, picked evenly
 */
export function noiseFromResidual(
  region: Region,
  residual: Float32Array,
  model: Float32Array,
  usable: Uint8Array,
  most: number = MOST_NOISE_PIXELS,
): Noise {
  const stride = Math.max(1, Math.floor(region.counted / most)) | 1;
  const chosen = usableOf(somePixels(region, stride), usable);
  const lights = new Float32Array(chosen.length);
  for (let n = 0; n < lights.length; n++) lights[n] = model[chosen[n]];
  const order = orderOf(lights);
  // Bins of equally many pixels, by their light; a last one that isn't full is left out.
  const perBin = Math.max(LEAST_PER_BIN, Math.floor(chosen.length / NOISE_BINS));
  const squares = new Float64Array(perBin);
  let s = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let first = 0; first + perBin <= order.length; first += perBin) {
    let light = 0;
    for (let n = 0; n < perBin; n++) {
      const at = order[first + n];
      light += Math.max(lights[at], 0) / perBin;
      squares[n] = residual[chosen[at]] ** 2;
    }
    const variance = Math.max(selectSmallest(squares, perBin >> 1) / MEDIAN_CHI_SQUARE, LEAST_VARIANCE);
    least = Math.min(least, variance);
    // Each bin's variance has the same relative error.
    const weight = 1 / variance ** 2;
    s += weight;
    sx += weight * light;
    sy += weight * variance;
    sxx += weight * light * light;
    sxy += weight * light * variance;
  }
  const spread = s * sxx - sx * sx;
  const gain = spread > 1e-12 * s * sxx ? Math.max(0, (s * sxy - sx * sy) / spread) : 0;
  const floor = Math.max((sy - gain * sx) / s, 0.05 * least, LEAST_VARIANCE);
  return { floor, gain };
}

function usableOf(some: Int32Array, usable: Uint8Array): Int32Array {
  let count = 0;
  for (let n = 0; n < some.length; n++) if (usable[some[n]]) some[count++] = some[n];
  return some.subarray(0, count);
}

/** 1/variance of each usable pixel, 0 elsewhere. @param into - gets them; the model itself may be overwritten */
export function weightsOf(
  { floor, gain }: Noise,
  model: Float32Array,
  usable: Uint8Array,
  into: Float32Array = new Float32Array(model.length),
): Float32Array {
  for (let at = 0; at < into.length; at++) {
    into[at] = usable[at] ? 1 / (floor + gain * Math.max(model[at], 0)) : 0;
  }
  return into;
}
