import type { Plane } from '../light/plane.js';
import { forEachCounted, type Region } from './solve-shot.js';

/** Variance of a pixel of the reduced picture: floor + gain · light (read noise and shot noise). */
export interface Noise {
  readonly floor: number;
  readonly gain: number;
}

const BINS = 24;
const LEAST_PER_BIN = 60;
/** Median of the square of a standard normal value, i.e. of χ² with one degree of freedom (tables of χ²). */
const MEDIAN_CHI_SQUARE = 0.45493642;

/**
 * Noise from what a fit leaves over, robustly: the median square in bins of modelled light, then a straight line
 * through the bins (photon transfer; EMVA Standard 1288, section on the linear model).
 *
 * @param residual - picture minus model, 0 outside the region
 * @param model - modelled light
 * @param usable - 1 for pixels that may be used
 */
export function noiseFromResidual(
  picture: Plane,
  region: Region,
  residual: Float32Array,
  model: Float32Array,
  usable: Uint8Array,
): Noise {
  const lights: number[] = [];
  const squares: number[] = [];
  forEachCounted(picture, region, (at) => {
    if (!usable[at]) return;
    lights.push(Math.max(model[at]!, 0));
    squares.push(residual[at]! ** 2);
  });
  const order = Array.from(lights.keys()).sort((a, b) => lights[a]! - lights[b]!);
  const perBin = Math.max(LEAST_PER_BIN, Math.floor(order.length / BINS));
  let [s, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
  let least = Number.POSITIVE_INFINITY;
  for (let from = 0; from + perBin <= order.length; from += perBin) {
    const bin = order.slice(from, from + perBin);
    const light = bin.reduce((sum, k) => sum + lights[k]!, 0) / perBin;
    const sorted = bin.map((k) => squares[k]!).sort((a, b) => a - b);
    const variance = Math.max(sorted[perBin >> 1]! / MEDIAN_CHI_SQUARE, 1e-14);
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
  const floor = Math.max((sy - gain * sx) / s, 0.05 * least);
  return { floor, gain };
}

/** 1/variance of each usable pixel, 0 elsewhere. */
export function weightsOf(noise: Noise, model: Float32Array, usable: Uint8Array): Float32Array {
  return model.map((light, at) => (usable[at] ? 1 / (noise.floor + noise.gain * Math.max(light, 0)) : 0));
}

/**
 * By how much correlated noise (a compressed photo's) raises the variance of a footprint's sum over what white noise
 * gives: 1 + the residuals' correlation at small lags, each lag weighted by the footprint's own overlap with itself,
 * taken as 1.
 */
export function correlationFactor(
  picture: Plane,
  region: Region,
  residual: Float32Array,
  weights: Float32Array,
): number {
  const reach = 2;
  const sums = new Float64Array((2 * reach + 1) ** 2);
  forEachCounted(picture, region, (at, x, y) => {
    if (x < reach || y < reach || x >= picture.width - reach || y >= picture.height - reach) return;
    const here = residual[at]! * Math.sqrt(weights[at]!);
    let n = 0;
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++, n++) {
        const other = at + dy * picture.width + dx;
        sums[n]! += here * residual[other]! * Math.sqrt(weights[other]!);
      }
    }
  });
  const middle = sums[(sums.length - 1) / 2]!;
  return middle > 0 ? Math.max(1, sums.reduce((total, value) => total + value, 0) / middle) : 1;
}
