import type { Matrix } from 'ml-matrix';
import { factorise, substitute } from './cholesky.js';

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
  const flat = Float64Array.from(square.to1DArray());
  if (flat.some(Number.isNaN)) throw new UnsolvableError('normal equations hold NaN');
  for (let damping = 0; damping <= MOST_DAMPING; damping = damping === 0 ? FIRST_DAMPING : damping * 10) {
    const lower = flat.slice();
    for (let n = 0; n < square.rows; n++) lower[n * (square.rows + 1)] *= 1 + damping;
    if (factorise(lower, square.rows)) return substituted(lower, sides);
  }
  throw new UnsolvableError('normal equations are not positive definite');
}

function substituted(lower: Float64Array, sides: Matrix): Matrix {
  const solved = sides.clone();
  for (let m = 0; m < sides.columns; m++) {
    const column = Float64Array.from(sides.getColumn(m));
    substitute(lower, column);
    solved.setColumn(m, column);
  }
  return solved;
}
