import type { CellLight } from '@twolamp/flux';
import {
  biweightScale,
  equationsOf,
  fillTerms,
  fitRobustSurface,
  median,
  type RobustSurface,
  supportedDegree,
  surfaceTerms,
} from '@twolamp/numeric';
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { TREND_CELLS_PER_TERM, TREND_LEAST_LIGHT } from './tuning.js';

/** Each tube's transmission relative to that of the tubes around it; N cells, reading order. */
export interface RelativeTransmission {
  /** 1 = typical; NaN where it is not known. */
  readonly relative: Float64Array;
  readonly sigma: Float64Array;
}

const MAX_DEGREE = 4;
/** Efficiency of the trend's bisquare weights at the normal distribution. */
const EFFICIENCY = 0.95;

/** Smooth trend of the logarithm of light: N values each. */
interface Trend {
  readonly fitted: Float64Array;
  readonly sigma: Float64Array;
}

/**
 * Trends of all degrees that the cells support, averaged with Akaike weights on the biweight scale (a median-based scale
 * is too noisy for that). The differences between the trends count towards the uncertainty.
 *
 * Source: Buckland, Burnham & Augustin, Biometrics 53 (1997) 603–618.
 */
function trendOf(x: Float64Array, y: Float64Array, logs: Float64Array): Trend {
  const known = logs.filter(Number.isFinite).length;
  const trends: (Trend & { criterion: number })[] = [];
  const most = supportedDegree(known, TREND_CELLS_PER_TERM, MAX_DEGREE, 1) ?? 0;
  for (let degree = 0; degree <= most; degree++) {
    const terms = surfaceTerms(degree);
    const surface = fitRobustSurface(x, y, logs, degree);
    const freedom = Math.sqrt(known / Math.max(1, known - terms));
    const scatter = biweightScale(logs.map((value, k) => value - surface.fitted[k]));
    trends.push({
      fitted: surface.fitted,
      sigma: trendSigma(x, y, surface, degree, scatter * freedom),
      criterion: 2 * known * Math.log(Math.max(scatter, 1e-9)) + 2 * terms,
    });
  }
  const least = Math.min(...trends.map(({ criterion }) => criterion));
  const weights = trends.map(({ criterion }) => Math.exp((least - criterion) / 2));
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  const average = (of: (trend: Trend) => number): number =>
    trends.reduce((sum, trend, n) => sum + (weights[n] / all) * of(trend), 0);
  const fitted = x.map((_, k) => average((trend) => trend.fitted[k]));
  const sigma = x.map((_, k) => average((trend) => Math.hypot(trend.sigma[k], trend.fitted[k] - fitted[k])));
  return { fitted, sigma };
}

/** Standard uncertainty of one trend at each place: scatter about it × √leverage. */
function trendSigma(
  x: Float64Array,
  y: Float64Array,
  { weights }: RobustSurface,
  degree: number,
  scatter: number,
): Float64Array {
  const unit = (values: Float64Array): Float64Array => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    return values.map((value) => (high > low ? (2 * value - low - high) / (high - low) : 0));
  };
  const [u, v] = [unit(x), unit(y)];
  const size = surfaceTerms(degree);
  const rows = new Float64Array(x.length * size);
  for (let k = 0; k < x.length; k++) fillTerms(u[k], v[k], degree, rows, k * size);
  const equations = equationsOf(rows, size, weights, weights);
  for (let n = 0; n < size; n++) equations.addPrior(n, 1e-9 * x.length);
  const inverted = new CholeskyDecomposition(equations.matrix()).solve(Matrix.eye(size)).to1DArray();
  return x.map((_, k) => {
    let leverage = 0;
    for (let a = 0; a < size; a++) {
      const own = rows[k * size + a];
      for (let b = 0; b < size; b++) leverage += own * inverted[a * size + b] * rows[k * size + b];
    }
    return scatter * Math.sqrt(leverage / EFFICIENCY);
  });
}

/**
 * Relative transmission from the even shot: light over a smooth robust trend, which removes uneven illumination and
 * vignetting.
 *
 * @param light - of the even shot, flat-field corrected where there is a bare shot
 * @param u - lattice co-ordinate of each cell across, in pitches
 * @param v - down, in rows
 * @param sheetScatter - relative scatter from cell to cell that is the sheet's; 0 if flat-field corrected
 * @throws RangeError where no cell shows light
 */
export function relativeTransmission(
  light: CellLight,
  u: Float64Array,
  v: Float64Array,
  sheetScatter: number,
): RelativeTransmission {
  const middle = median(Array.from(light.flux).filter((flux, k) => flux > 5 * light.sigma[k]));
  const logs = light.flux.map((flux, k) =>
    flux > TREND_LEAST_LIGHT * middle && flux < middle / TREND_LEAST_LIGHT && !light.clipped[k]
      ? Math.log(flux)
      : Number.NaN,
  );
  const trend = trendOf(u, v, logs);
  const typical = trend.fitted.map(Math.exp);
  const relative = light.flux.map((flux, k) => flux / typical[k]);
  const sigma = relative.map((value, k) =>
    Math.hypot(light.sigma[k] / typical[k], value * trend.sigma[k], value * sheetScatter),
  );
  return { relative, sigma };
}
