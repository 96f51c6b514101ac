/**
 * Cholesky decomposition of a symmetric matrix in place, without a matrix object.
 *
 * @param lower - its lower triangle, row by row in size × size values; what lies above the diagonal isn't touched
 * @returns false where the matrix isn't positive definite
 * Source: Golub & Van Loan, Matrix Computations, section 4.2 (from memory).
 */
export function factorise(lower: Float64Array, size: number): boolean {
  for (let r = 0; r < size; r++) {
    const row = r * size;
    for (let c = 0; c <= r; c++) {
      const other = c * size;
      let sum = lower[row + c];
      for (let n = 0; n < c; n++) sum -= lower[row + n] * lower[other + n];
      if (r === c && !(sum > 0)) return false;
      lower[row + c] = r === c ? Math.sqrt(sum) : sum / lower[other + c];
    }
  }
  return true;
}

/**
 * Solves A·x = b in place.
 *
 * @param lower - of A, by {@link factorise}
 * @param side - b; holds x afterwards
 */
export function substitute(lower: Float64Array, side: Float64Array): void {
  const size = side.length;
  for (let r = 0; r < size; r++) {
    let sum = side[r];
    for (let n = 0; n < r; n++) sum -= lower[r * size + n] * side[n];
    side[r] = sum / lower[r * size + r];
  }
  for (let r = size - 1; r >= 0; r--) {
    side[r] /= lower[r * size + r];
    for (let n = 0; n < r; n++) side[n] -= lower[r * size + n] * side[r];
  }
}

/**
 * Both in one, for the small systems of inner loops.
 *
 * @param square - A; holds the factor afterwards
 * @param side - b; holds x afterwards
 * @returns false where A isn't positive definite
 */
export function solveCholesky(square: Float64Array, side: Float64Array): boolean {
  if (!factorise(square, side.length)) return false;
  substitute(square, side);
  return true;
}
