import { Matrix, pseudoInverse } from 'ml-matrix';
import { type Minimum, minimise } from './marquardt.js';

interface LeastSquaresProblem {
  /** Residuals of the parameters, each already divided by its standard uncertainty; always equally many. */
  readonly residuals: (parameters: Float64Array) => Float64Array;
  readonly start: ArrayLike<number>;
  /** Size of a natural change of each parameter, above 0; only sets the step of the numerical derivatives. */
  readonly scale: ArrayLike<number>;
}

interface LeastSquaresFit extends Minimum {
  /** Inverse of JᵀJ, P × P: the covariance of the parameters where the residuals were divided by their uncertainty. */
  readonly covariance: Matrix;
}

/** Share of the natural change by which a parameter is moved for its derivative, to both sides. */
const DERIVATIVE_STEP = 1e-4;

/**
 * The parameters with the least sum of squared residuals near a start, by Levenberg–Marquardt with numerical
 * derivatives.
 *
 * @throws RangeError if start and scale differ in length, or residuals at the start are not finite
 */
export function leastSquares({ residuals, start, scale }: LeastSquaresProblem): LeastSquaresFit {
  if (scale.length !== start.length) {
    throw new RangeError(`scale must hold ${start.length} values as start does, got ${scale.length}`);
  }
  const chiSquareAt = (parameters: Float64Array) => {
    const values = residuals(parameters);
    return dot(values, values);
  };
  const minimum = minimise(start, chiSquareAt, (parameters) => {
    const values = residuals(parameters);
    const jacobian = derivatives(residuals, parameters, scale);
    return { curvature: curvatureOf(jacobian), slope: jacobian.map((column) => dot(column, values)) };
  });
  const jacobian = derivatives(residuals, minimum.parameters, scale);
  return { ...minimum, covariance: covarianceOf(curvatureOf(jacobian)) };
}

/** Numerical derivatives of residuals: one column a parameter. */
function derivatives(
  residuals: (parameters: Float64Array) => Float64Array,
  parameters: Float64Array,
  scale: ArrayLike<number>,
): Float64Array[] {
  const moved = Float64Array.from(parameters);
  return Array.from(parameters, (value, column) => {
    const step = DERIVATIVE_STEP * scale[column];
    moved[column] = value + step;
    const above = residuals(moved);
    moved[column] = value - step;
    const below = residuals(moved);
    moved[column] = value;
    return above.map((residual, row) => (residual - below[row]) / (2 * step));
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let index = 0; index < a.length; index++) sum += a[index] * b[index];
  return sum;
}

function curvatureOf(jacobian: readonly Float64Array[]): Matrix {
  const curvature = Matrix.zeros(jacobian.length, jacobian.length);
  jacobian.forEach((first, row) => {
    for (let column = row; column < jacobian.length; column++) {
      const value = dot(first, jacobian[column]);
      curvature.set(row, column, value);
      curvature.set(column, row, value);
    }
  });
  return curvature;
}

/** Inverse of JᵀJ, with J's columns brought to one length first, so that units don't matter. */
function covarianceOf(curvature: Matrix): Matrix {
  const lengths = curvature.diagonal().map((value) => Math.sqrt(value) || 1);
  const inverseLengths = Matrix.diag(lengths.map((length) => 1 / length));
  const unit = inverseLengths.mmul(curvature).mmul(inverseLengths);
  return inverseLengths.mmul(pseudoInverse(unit)).mmul(inverseLengths);
}
