import { Matrix, solve } from 'ml-matrix';

/** Why a fit ended. */
type FitStop = 'converged' | 'step-limit' | 'not-finite';

/** A sum of squares seen from one place: JᵀJ and Jᵀr. */
interface NormalEquations {
  readonly curvature: Matrix;
  readonly slope: ArrayLike<number>;
}

export interface Minimum {
  readonly parameters: Float64Array;
  readonly chiSquare: number;
  readonly stopped: FitStop;
}

const STEP_LIMIT = 200;
/** The fit has converged when a step is expected to win less than this share of the sum of squares. */
const SETTLED = 1e-8;
const HOPELESS_DAMPING = 1e12;

/**
 * Levenberg–Marquardt over normal equations: goes from a start to the nearest least sum of squares.
 *
 * Own, because the fit needs the normal equations at the solution (for the covariance) and the reason of stopping; the
 * general-purpose library gives neither.
 *
 * @throws RangeError if the sum of squares at the start is not finite
 * Source: Marquardt, J. SIAM 11 (1963) 431–441; the update of the damping: Nielsen, report IMM-REP-1999-05.
 */
export function minimise(
  start: ArrayLike<number>,
  chiSquareAt: (parameters: Float64Array) => number,
  equationsAt: (parameters: Float64Array) => NormalEquations,
): Minimum {
  let parameters = Float64Array.from(start);
  let chiSquare = chiSquareAt(parameters);
  if (!Number.isFinite(chiSquare)) {
    throw new RangeError(`start must give finite residuals, got a sum of squares of ${chiSquare}`);
  }
  let { curvature, slope } = equationsAt(parameters);
  let damping = 1e-3;
  let growth = 2;
  for (let step = 0; step < STEP_LIMIT; step++) {
    const stiffness = curvature.diagonal().map((value) => damping * (value || 1));
    const damped = Matrix.add(curvature, Matrix.diag(stiffness));
    const change = solve(damped, Matrix.columnVector(slope)).to1DArray();
    // Twice what the quadratic model expects to win.
    const expected = change.reduce(
      (sum, value, index) => sum + value * (slope[index] + stiffness[index] * value),
      0,
    );
    const next = parameters.map((value, index) => value - change[index]);
    const nextChiSquare = chiSquareAt(next);
    // A step made short by its damping tells nothing.
    const done = damping <= 1 && expected <= SETTLED * chiSquare;
    if (nextChiSquare <= chiSquare) {
      const gain = expected > 0 ? (chiSquare - nextChiSquare) / expected : 1;
      parameters = next;
      chiSquare = nextChiSquare;
      damping *= Math.max(1 / 3, 1 - (2 * gain - 1) ** 3);
      growth = 2;
      if (done) return { parameters, chiSquare, stopped: 'converged' };
      ({ curvature, slope } = equationsAt(parameters));
    } else {
      damping *= growth;
      growth *= 2;
      if (damping > HOPELESS_DAMPING) {
        return {
          parameters,
          chiSquare,
          stopped: Number.isFinite(nextChiSquare) ? 'converged' : 'not-finite',
        };
      }
      if (done) return { parameters, chiSquare, stopped: 'converged' };
    }
  }
  return { parameters, chiSquare, stopped: 'step-limit' };
}
