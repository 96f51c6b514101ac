/**
 * Solves A·x = b by Cholesky decomposition in place, for the small systems of inner loops.
 *
 * @param square - A, size × size, row by row; only its lower triangle is read, and holds the factor afterwards
 * @param side - b; holds x afterwards
 * @returns false where A isn't positive definite
 * Source: Golub & Van Loan, Matrix Computations, section 4.2 (from memory).
 */
export function solveCholesky(square: Float64Array, side: Float64Array): boolean {
  const size = side.length;
  for (let r = 0; r < size; r++) {
    for (let c = 0; c <= r; c++) {
      let sum = square[r * size + c];
      for (let n = 0; n < c; n++) sum -= square[r * size + n] * square[c * size + n];
      if (r === c && !(sum > 0)) return false;
      square[r * size + c] = r === c ? Math.sqrt(sum) : sum / square[c * size + c];
    }
  }
  for (let r = 0; r < size; r++) {
    for (let n = 0; n < r; n++) side[r] -= square[r * size + n] * side[n];
    side[r] /= square[r * size + r];
  }
  for (let r = size - 1; r >= 0; r--) {
    for (let n = r + 1; n < size; n++) side[r] -= square[n * size + r] * side[n];
    side[r] /= square[r * size + r];
  }
  return true;
}
