import { equationsOf, solveEquations } from './normal-equations.js';
import { fillTerms, sumOfTerms, surfaceTerms } from './polynomial.js';
import { bisquare, madScale } from './robust.js';

/** Tuning of the bisquare weights for 95 % efficiency at the normal distribution. */
const BISQUARE_SCALES = 4.685065;
const MEDIAN_STEPS = 12;
const BISQUARE_STEPS = 40;
/**
 * Changes of the coefficients, in the values' scatter, at which the steps end: of the first fit, which only has to be near
 * enough for the weights of the second; and of the second. A coefficient's standard uncertainty is some hundredths.
 */
const NEAR = 1e-2;
const SETTLED = 1e-4;

export interface RobustSurface {
  /** The surface at every point given, those with an unknown value included. */
  readonly fitted: Float64Array;
  /** Weight of each point in the last step: its share where it follows the surface, 0 = left out. */
  readonly weights: Float64Array;
  /** Robust standard deviation about the surface of values that count in full. */
  readonly scale: number;
  /** The surface anywhere, in the units of x and y. */
  readonly at: (x: number, y: number) => number;
}

function scaling(values: ArrayLike<number>): (value: number) => number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < values.length; index++) {
    low = Math.min(low, values[index]);
    high = Math.max(high, values[index]);
  }
  const middle = (low + high) / 2;
  const half = (high - low) / 2 || 1;
  return (value) => (value - middle) / half;
}

function solveWeighted(
  rows: Float64Array,
  size: number,
  values: Float64Array,
  weights: Float64Array,
): Float64Array {
  // Points in one line, or fewer places than terms, give the least-norm surface.
  return solveEquations(equationsOf(rows, size, weights, values));
}

/** A weighted fit, step by step. */
class SurfaceFit {
  coefficients: Float64Array;
  /** Of the last step. */
  weights: Float64Array;
  /** Robust standard deviation about the surface of values that count in full. */
  scale = Number.NaN;
  /** Each in the standard deviation of a value that counts in full. */
  private readonly residuals: Float64Array;
  private readonly roots: Float64Array;

  constructor(
    private readonly rows: Float64Array,
    private readonly size: number,
    private readonly targets: Float64Array,
    private readonly count: Float64Array,
  ) {
    this.coefficients = new Float64Array(size);
    this.weights = count;
    this.residuals = new Float64Array(targets.length);
    this.roots = count.map(Math.sqrt);
  }

  /** Fits with these weights; returns the largest change of a coefficient. */
  solve(weights: Float64Array): number {
    const { rows, size, targets, residuals, roots } = this;
    const next = solveWeighted(rows, size, targets, weights);
    const change = largestChange(this.coefficients, next);
    for (let n = 0; n < residuals.length; n++) {
      residuals[n] = (targets[n] - sumOfTerms(next, rows, n * size)) * roots[n];
    }
    this.coefficients = next;
    this.weights = weights;
    this.scale = madScale(residuals, 0);
    return change;
  }

  /** That lead towards the least absolute deviations. */
  medianWeights(): Float64Array {
    const { residuals, count, scale } = this;
    const weights = new Float64Array(residuals.length);
    for (let n = 0; n < weights.length; n++) {
      weights[n] = (count[n] * scale) / Math.max(Math.abs(residuals[n]), 0.01 * scale);
    }
    return weights;
  }

  bisquareWeights(): Float64Array {
    const { residuals, count } = this;
    const cutoff = BISQUARE_SCALES * this.scale;
    const weights = new Float64Array(residuals.length);
    for (let n = 0; n < weights.length; n++) weights[n] = count[n] * bisquare(residuals[n] / cutoff);
    return weights;
  }
}

function largestChange(before: Float64Array, after: Float64Array): number {
  let most = 0;
  for (let n = 0; n < after.length; n++) most = Math.max(most, Math.abs(after[n] - before[n]));
  return most;
}

/**
 * Smooth field through scattered values that outliers don't pull: a polynomial in x and y by iterated least squares,
 * first towards the least absolute deviations, then with Tukey's bisquare weights.
 *
 * @param x - place of each point, any unit (columns, say)
 * @param y - same length
 * @param values - same length; NaN = unknown, left out of the fit
 * @param degree - of the polynomial, a whole number from 0
 * @param shares - same length: how much each value counts, from 0 to 1, as its inverse variance; left out = all alike
 * @throws RangeError if lengths differ, the degree is none, or fewer values are known than the surface has terms
 * Source: Holland & Welsch, Commun. Statist. A6 (1977) 813–827; start by least absolute deviations: common practice, no source.
 */
export function fitRobustSurface(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  values: ArrayLike<number>,
  degree: number,
  shares: ArrayLike<number> | null = null,
): RobustSurface {
  if (x.length !== y.length || x.length !== values.length) {
    throw new RangeError(
      `x, y and values must be equally long, got ${x.length}, ${y.length}, ${values.length}`,
    );
  }
  if (!(Number.isInteger(degree) && degree >= 0)) {
    throw new RangeError(`degree must be a whole number from 0, got ${degree}`);
  }
  const known = Array.from({ length: x.length }, (_, index) => index).filter((i) =>
    Number.isFinite(values[i]),
  );
  if (known.length < surfaceTerms(degree)) {
    throw new RangeError(`values must hold ${surfaceTerms(degree)} known ones or more, got ${known.length}`);
  }
  const scaleX = scaling(x);
  const scaleY = scaling(y);
  const size = surfaceTerms(degree);
  const rows = new Float64Array(known.length * size);
  known.forEach((index, n) => {
    fillTerms(scaleX(x[index]), scaleY(y[index]), degree, rows, n * size);
  });
  const targets = Float64Array.from(known, (index) => values[index]);
  const count = Float64Array.from(known, (index) => shares?.[index] ?? 1);
  const fit = new SurfaceFit(rows, size, targets, count);

  fit.solve(count);
  for (let step = 0; step < MEDIAN_STEPS && fit.scale > 0; step++) {
    if (fit.solve(fit.medianWeights()) < NEAR * fit.scale) break;
  }
  for (let step = 0; step < BISQUARE_STEPS; step++) {
    // The median residual is 0: no scale separates outliers from the rest.
    if (!(fit.scale > 1e-12 * (1 + Math.abs(fit.coefficients[0])))) break;
    if (fit.solve(fit.bisquareWeights()) < SETTLED * fit.scale) break;
  }
  const { coefficients, weights, scale } = fit;

  const terms = new Float64Array(size);
  const at = (placeX: number, placeY: number) => {
    fillTerms(scaleX(placeX), scaleY(placeY), degree, terms, 0);
    return sumOfTerms(coefficients, terms, 0);
  };
  const fitted = new Float64Array(x.length);
  for (let n = 0; n < fitted.length; n++) fitted[n] = at(x[n], y[n]);
  const allWeights = new Float64Array(x.length);
  known.forEach((index, place) => {
    allWeights[index] = weights[place];
  });
  return {
    fitted,
    weights: allWeights,
    scale,
    at,
  };
}
