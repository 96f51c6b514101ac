import { CholeskyDecomposition, type Matrix } from 'ml-matrix';

/** Normal equations that no damping makes solvable: what was to be fitted isn't in the data. */
export class UnsolvableError extends Error {
  override readonly name = 'UnsolvableError';
}

/** First damping, a share of each diagonal entry, and the largest: beyond it the solution is that of the damping. */
const FIRST_DAMPING = 1e-9;
const MOST_DAMPING = 1e-2;

/**
 * Solves A x = b for a symmetric A that is positive definite but for rounding. Where it isn't, its diagonal is raised by a
 * share (Levenberg's damping), as little as makes it so.
 *
 * @param square - A
 * @param sides - b, a column each
 * @throws UnsolvableError where even a hundredth of the diagonal doesn't help
 */
export function solvePositive(square: Matrix, sides: Matrix): Matrix {
  // ml-matrix takes a matrix with NaN for one that is not symmetric.
  if (square.to1DArray().some(Number.isNaN)) throw new UnsolvableError('normal equations hold NaN');
  const solver = new CholeskyDecomposition(square);
  if (solver.isPositiveDefinite()) return solver.solve(sides);
  for (let damping = FIRST_DAMPING; damping <= MOST_DAMPING; damping *= 10) {
    const damped = square.clone();
    for (let n = 0; n < square.rows; n++) damped.set(n, n, square.get(n, n) * (1 + damping));
    const again = new CholeskyDecomposition(damped);
    if (again.isPositiveDefinite()) return again.solve(sides);
  }
  throw new UnsolvableError('normal equations are not positive definite');
}
