import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { addSmoothness } from './smoothness.js';

/** Codes of an 8-bit photo. */
export const CODES = 256;

/** One photo of an exposure series: the same samples of the scene in the same order as in the others. */
export interface SeriesSamples {
  readonly codes: Uint8Array;
  /** Relative to the other photos, in any unit: exposure time × ISO ÷ aperture². */
  readonly exposure: number;
}

/** Fills in the weight of one scene point's sample in each photo. */
export type Weigh = (point: number, weights: Float64Array) => void;

/**
 * Weighted mean log light of one scene point over the photos.
 *
 * @param response - log light of each code
 * @param logs - log exposure of each photo
 * @param weights - weight of the point's sample in each photo
 * @returns NaN where no sample has weight
 */
export function logLight(
  response: Float64Array,
  series: readonly SeriesSamples[],
  logs: readonly number[],
  weights: Float64Array,
  point: number,
): number {
  let weight = 0;
  let sum = 0;
  for (let j = 0; j < series.length; j++) {
    weight += weights[j];
    sum += weights[j] * (response[series[j].codes[point]] - logs[j]);
  }
  return sum / weight;
}

/**
 * The log response that fits all samples best for given weights. The points' log lights are eliminated from the
 * normal equations, which leaves the 256 codes as unknowns.
 *
 * @param logs - log exposure of each photo
 * @returns log light of each code, with a free constant
 */
export function solveLogResponse(
  series: readonly SeriesSamples[],
  logs: readonly number[],
  weigh: Weigh,
): Float64Array {
  const normal = new Float64Array(CODES * CODES);
  const right = new Float64Array(CODES);
  const weights = new Float64Array(series.length);
  const points = series[0].codes.length;
  for (let point = 0; point < points; point++) {
    weigh(point, weights);
    let total = 0;
    let meanLog = 0;
    for (let j = 0; j < series.length; j++) {
      total += weights[j];
      meanLog += weights[j] * logs[j];
    }
    if (total === 0) continue;
    meanLog /= total;
    for (let j = 0; j < series.length; j++) {
      if (weights[j] === 0) continue;
      const row = series[j].codes[point];
      normal[row * CODES + row] += weights[j] / points;
      right[row] += (weights[j] * (logs[j] - meanLog)) / points;
      for (let k = 0; k < series.length; k++) {
        normal[row * CODES + series[k].codes[point]] -= (weights[j] * weights[k]) / total / points;
      }
    }
  }
  addSmoothness(normal, CODES);
  normal[CODES * CODES - 1] += 1; // pins the top code at log 0; the data leave one constant free
  // Mirrored, because sums in another order differ in the last digit and the decomposition insists on symmetry.
  for (let row = 0; row < CODES; row++) {
    for (let column = 0; column < row; column++) normal[column * CODES + row] = normal[row * CODES + column];
  }
  const cholesky = new CholeskyDecomposition(Matrix.from1DArray(CODES, CODES, normal));
  return Float64Array.from(cholesky.solve(Matrix.columnVector(right)).to1DArray());
}
