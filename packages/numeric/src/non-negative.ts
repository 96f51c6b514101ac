import { fcnnlsVector } from 'ml-fcnnls';
import { CholeskyDecomposition, type Matrix, solve } from 'ml-matrix';

/**
 * The solution of A·x = b in the least-squares sense among all x ≥ 0.
 *
 * With A = L·Lᵀ the problem is that of the square system Lᵀ·x = L⁻¹·b.
 *
 * @param square - A, positive definite
 * @param side - b
 * Source: Van Benthem & Keenan, J. Chemometrics 18 (2004) 441–450 (ml-fcnnls).
 */
export function solveNonNegative(square: Matrix, side: Matrix): number[] {
  const lower = new CholeskyDecomposition(square).lowerTriangularMatrix;
  const target = solve(lower, side).to1DArray();
  return fcnnlsVector(lower.transpose(), target).K.to1DArray();
}
