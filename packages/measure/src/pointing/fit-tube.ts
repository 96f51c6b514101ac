import { factorise, NormalEquations, substitute } from '@twolamp/numeric';
import type { TubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  BLUNT,
  evaluateShape,
  HEIGHT,
  lightOfShape,
  SHAPE_SIZE,
  type TubeShape,
  WIDTH,
} from './tube-shape.js';

export interface TubeFit {
  readonly shape: TubeShape;
  /** χ² of the readings, without the prior's share. */
  readonly chi2: number;
  /** What was minimised: chi2 and the prior's share. */
  readonly cost: number;
  /** Of the fitted parameters, row-major; valid if the readings' standard deviations are. */
  readonly covariance: Float64Array;
  /** Number of parameters that the readings determine, rather than the prior. */
  readonly determined: number;
}

/** A fit that needs more follows a flat valley, along which its cost hardly changes. */
const STEP_LIMIT = 60;
/** Relative drop of the cost at convergence: far below the 1 that one standard deviation makes. */
const SETTLED = 1e-5;
const FIRST_DAMPING = 1e-3;
const MOST_DAMPING = 1e8;
const BLUNT_STEP = 1e-6;
const NO_SHAPE: TubeShape = new Float64Array(SHAPE_SIZE);

/**
 * Fits a tube's acceptance to its readings by the Levenberg–Marquardt method.
 *
 * Own code, because thousands of fits need exact derivatives, a prior on each parameter and lower bounds for clipped
 * photos, which the general-purpose library lacks.
 *
 * @param start - where to begin; left as it is
 * @param priorSigma - prior standard deviations of the leading parameters, Infinity = free; one for each that is fitted,
 *   the others stay as they are
 * @param priorMean - prior means; all 0 where left out
 * Source: Marquardt, J. SIAM 11 (1963) 431–441.
 */
export function fitTube(
  acceptance: AcceptanceProfile,
  data: TubeData,
  start: TubeShape,
  priorSigma: Float64Array,
  priorMean: TubeShape = NO_SHAPE,
): TubeFit {
  const precision = priorSigma.map((sigma) => 1 / sigma ** 2);
  const size = precision.length;
  const priorOf = (shape: TubeShape) =>
    precision.reduce((sum, weight, i) => sum + weight * (shape[i] - priorMean[i]) ** 2, 0);

  let shape: TubeShape = Float64Array.from(start);
  let equations = new NormalEquations(size);
  let spare = new NormalEquations(size);
  let chi2 = setUp(acceptance, data, shape, precision, priorMean, equations);
  let cost = chi2 + priorOf(shape);
  let damping = FIRST_DAMPING;
  let isSettled = !Number.isFinite(cost);
  for (let step = 0; step < STEP_LIMIT && !isSettled; step++) {
    const next = moved(shape, equations, damping);
    const nextChi2 = setUp(acceptance, data, next, precision, priorMean, spare);
    const nextCost = nextChi2 + priorOf(next);
    if (nextCost <= cost) {
      isSettled = cost - nextCost < SETTLED * (1 + cost);
      shape = next;
      chi2 = nextChi2;
      cost = nextCost;
      damping /= 10;
      [equations, spare] = [spare, equations];
    } else {
      damping *= 8;
      isSettled = damping > MOST_DAMPING;
    }
  }
  const covariance = inverse(equations);
  let determined = size;
  for (let i = 0; i < size; i++) determined -= precision[i] * covariance[i * (size + 1)];
  return { shape, chi2, cost, covariance, determined };
}

/**
 * Normal equations around a shape.
 *
 * @param equations - written
 * @returns chi2 there
 */
function setUp(
  acceptance: AcceptanceProfile,
  data: TubeData,
  shape: TubeShape,
  precision: Float64Array,
  priorMean: TubeShape,
  equations: NormalEquations,
): number {
  const gradient = new Float64Array(SHAPE_SIZE);
  let chi2 = 0;
  equations.clear();
  precision.forEach((weight, i) => {
    equations.addPrior(i, weight, priorMean[i] - shape[i]);
  });
  const add = (off: number, weight: number) => {
    chi2 += weight * off * off;
    equations.add(gradient, weight, off);
  };
  for (let k = 0; k < data.response.length; k++) {
    const model = evaluateShape(acceptance.profile, shape, data.across[k], data.up[k], gradient);
    const off = data.response[k] - model;
    const weight = 1 / data.sigma[k] ** 2;
    if (data.clipped[k] === 1 && off <= 0) continue;
    if (gradient[HEIGHT] === 0) chi2 += weight * off * off;
    else add(off, weight);
  }
  if (data.evenLight !== null && shape[HEIGHT] !== 0) {
    const { light, share } = data.evenLight;
    const whole = lightOfShape(acceptance, shape) / light;
    gradient.fill(0);
    gradient[HEIGHT] = whole / shape[HEIGHT];
    gradient[WIDTH] = 2 * whole;
    if (equations.size > BLUNT) {
      const blunter = Float64Array.from(shape);
      blunter[BLUNT] += BLUNT_STEP;
      gradient[BLUNT] = (lightOfShape(acceptance, blunter) / light - whole) / BLUNT_STEP;
    }
    add(1 - whole, 1 / share ** 2);
  }
  return chi2;
}

/**
 * Cholesky factor of the matrix with Marquardt's damping in the scale of each parameter; a parameter that no reading depends
 * on stays as it is. Null where rounding leaves it indefinite.
 */
function damped({ lower, size }: NormalEquations, damping: number): Float64Array | null {
  const factor = lower.slice();
  for (let at = 0; at < factor.length; at += size + 1) {
    factor[at] = factor[at] > 0 ? factor[at] * (1 + damping) : 1;
  }
  return factorise(factor, size) ? factor : null;
}

/** NaN where no step can be told: a worse fit than any, which is damped more. */
function moved(shape: TubeShape, equations: NormalEquations, damping: number): TubeShape {
  const factor = damped(equations, damping);
  const step = factor ? equations.side.slice() : new Float64Array(equations.size).fill(Number.NaN);
  if (factor) substitute(factor, step);
  return shape.map((value, i) => (i < step.length ? value + step[i] : value));
}

function inverse(equations: NormalEquations): Float64Array {
  const { size } = equations;
  const factor = damped(equations, 1e-9);
  const inverted = new Float64Array(size * size).fill(factor ? 0 : Number.NaN);
  for (let i = 0; factor && i < size; i++) {
    const column = inverted.subarray(i * size, (i + 1) * size);
    column[i] = 1;
    substitute(factor, column);
  }
  return inverted;
}
