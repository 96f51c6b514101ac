import type { Random } from '@twolamp/optics';
import { EigenvalueDecomposition, type Matrix } from 'ml-matrix';

/**
 * Draws parameters from a normal distribution.
 *
 * @param covariance - P × P, symmetric; negative eigenvalues from rounding count as 0
 */
export function normalDraws(
  mean: Float64Array,
  covariance: Matrix,
  count: number,
  random: Random,
): Float64Array[] {
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(covariance, {
    assumeSymmetric: true,
  });
  const spreads = realEigenvalues.map((value) => Math.sqrt(Math.max(0, value)));
  return Array.from({ length: count }, () => {
    const steps = spreads.map((spread) => spread * random.normal());
    return mean.map((value, row) =>
      steps.reduce((sum, step, column) => sum + step * eigenvectorMatrix.get(row, column), value),
    );
  });
}
