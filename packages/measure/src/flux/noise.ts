import type { Region } from './region.js';

/** Variance of a pixel of the reduced picture: floor + gain · light (read noise and shot noise). */
export interface Noise {
  readonly floor: number;
  readonly gain: number;
}

const BINS = 24;
const LEAST_PER_BIN = 60;
const MOST_PIXELS = 30_000;
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
 */
export function noiseFromResidual(
  region: Region,
  residual: Float32Array,
  model: Float32Array,
  usable: Uint8Array,
): Noise {
  const stride = Math.max(1, Math.floor(region.pixels.length / MOST_PIXELS)) | 1;
  const chosen: number[] = [];
  for (let n = 0; n < region.pixels.length; n += stride) {
    if (usable[region.pixels[n]!]) chosen.push(region.pixels[n]!);
  }
  chosen.sort((a, b) => model[a]! - model[b]!);
  const perBin = Math.max(LEAST_PER_BIN, Math.floor(chosen.length / BINS));
  let [s, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
  let least = Number.POSITIVE_INFINITY;
  for (let from = 0; from + perBin <= chosen.length; from += perBin) {
    const bin = chosen.slice(from, from + perBin);
    const light = bin.reduce((sum, at) => sum + Math.max(model[at]!, 0), 0) / perBin;
    const squares = bin.map((at) => residual[at]! ** 2).sort((a, b) => a - b);
    const variance = Math.max(squares[perBin >> 1]! / MEDIAN_CHI_SQUARE, 1e-14);
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
