import { Matrix, solve } from 'ml-matrix';

const ROUNDS = 3;
const CUT_SIGMAS = 4;

/**
 * What is left of values over places when a smooth surface (polynomial, least squares, outliers beyond 4 σ left out) is
 * taken off, scaled so that the scatter isn't lessened by the surface's freedom.
 *
 * @param degree - of the polynomial
 */
export function roughPart(
  x: readonly number[],
  y: readonly number[],
  values: readonly number[],
  degree: number,
): number[] {
  const [u, v] = [unit(x), unit(y)];
  const rows = values.map((_, k) => {
    const terms: number[] = [];
    for (let order = 0; order <= degree; order++) {
      for (let power = 0; power <= order; power++) terms.push(u[k] ** (order - power) * v[k] ** power);
    }
    return terms;
  });
  let kept = values.map((_, k) => k);
  let rest = [...values];
  for (let round = 0; round < ROUNDS; round++) {
    const design = new Matrix(kept.map((k) => rows[k]));
    const terms = solve(design, Matrix.columnVector(kept.map((k) => values[k])));
    rest = values.map(
      (value, k) => value - rows[k].reduce((sum, term, n) => sum + term * terms.get(n, 0), 0),
    );
    const sigma = Math.sqrt(kept.reduce((sum, k) => sum + rest[k] ** 2, 0) / kept.length);
    kept = values.map((_, k) => k).filter((k) => Math.abs(rest[k]) <= CUT_SIGMAS * sigma);
  }
  const freedom = Math.sqrt(values.length / (values.length - rows[0].length));
  return rest.map((value) => value * freedom);
}

function unit(values: readonly number[]): number[] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return values.map((value) => (2 * value - low - high) / (high - low));
}
