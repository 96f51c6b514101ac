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
 * Cholesky factor of a symmetric matrix that is positive definite but for rounding. Where it isn't, its diagonal is raised by a
 * share (Levenberg's damping), as little as makes it so.
 *
 * @param square - its lower triangle, row by row in size × size values; stays as it is
 * @returns the factor, as `factorise` leaves it
 * @throws UnsolvableError where even a hundredth of the diagonal doesn't help
 */
export function factorPositive(square: Float64Array, size: number): Float64Array {
  for (let r = 0; r < size; r++) {
    for (let at = r * size; at <= r * (size + 1); at++) {
      if (Number.isNaN(square[at])) throw new UnsolvableError('normal equations hold NaN');
    }
  }
  for (let damping = 0; damping <= MOST_DAMPING; damping = damping === 0 ? FIRST_DAMPING : damping * 10) {
    const lower = square.slice();
    for (let n = 0; n < size; n++) lower[n * (size + 1)] *= 1 + damping;
    if (factorise(lower, size)) return lower;
  }
  throw new UnsolvableError('normal equations are not positive definite');
}

/**
 * Solves A x = b with the factor of {@link factorPositive}.
 *
 * @param square - A
 * @param sides - b, a column each
 * @throws UnsolvableError as that
 */
export function solvePositive(square: Matrix, sides: Matrix): Matrix {
  const lower = factorPositive(Float64Array.from(square.to1DArray()), square.rows);
  const solved = sides.clone();
  for (let m = 0; m < sides.columns; m++) {
    const column = Float64Array.from(sides.getColumn(m));
    substitute(lower, column);
    solved.setColumn(m, column);
  }
  return solved;
}
