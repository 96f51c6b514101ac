/** Number of terms of a full polynomial of this degree in two variables. */
export function surfaceTerms(degree: number): number {
  return ((degree + 1) * (degree + 2)) / 2;
}

/**
 * Highest degree, up to `most`, whose every term is supported by `perTerm` points or more.
 *
 * @returns null where the points do not support the degree `least`
 */
export function supportedDegree(points: number, perTerm: number, most: number, least: number): number | null {
  for (let degree = most; degree >= least; degree--) {
    if (points >= perTerm * surfaceTerms(degree)) return degree;
  }
  return null;
}

/** Writes the polynomial's terms at a place, by growing order, into an array from an index on. */
export function fillTerms(x: number, y: number, degree: number, into: Float64Array, from: number): void {
  into[from] = 1;
  for (let order = 1, before = from, at = from + 1; order <= degree; before = at, at += order + 1, order++) {
    for (let power = 0; power < order; power++) into[at + power] = x * into[before + power];
    into[at + order] = y * into[at - 1];
  }
}

/** The polynomial at one row of terms. */
export function sumOfTerms(coefficients: ArrayLike<number>, rows: Float64Array, from: number): number {
  let sum = 0;
  for (let n = 0; n < coefficients.length; n++) sum += coefficients[n] * rows[from + n];
  return sum;
}
