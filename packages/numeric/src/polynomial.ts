import { Matrix } from 'ml-matrix';

/** Terms of a full polynomial of this degree in two variables. */
export function surfaceTerms(degree: number): number {
  return ((degree + 1) * (degree + 2)) / 2;
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

/**
 * Normal equations of a weighted least-squares fit.
 *
 * @param rows - one row of terms a point, one after the other
 * @param size - terms a row
 * @param weights - one a point
 * @param targets - columns of values, one a point
 * @returns the size × size matrix, and the right-hand sides as its columns
 */
export function normalOf(
  rows: Float64Array,
  size: number,
  weights: Float64Array,
  targets: readonly Float64Array[],
): { readonly square: Matrix; readonly sides: Matrix } {
  const sums = new Float64Array(size * size);
  const sides = targets.map(() => new Float64Array(size));
  for (let point = 0, row = 0; point < weights.length; point++, row += size) {
    const weight = weights[point];
    if (weight === 0) continue;
    addProducts(rows, row, size, weight, sums);
    for (let n = 0; n < sides.length; n++) {
      const value = weight * targets[n][point];
      for (let a = 0; a < size; a++) sides[n][a] += value * rows[row + a];
    }
  }
  const square = new Matrix(size, size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      square.set(a, b, sums[a * size + b]);
      square.set(b, a, sums[a * size + b]);
    }
  }
  return { square, sides: new Matrix(sides.map((side) => Array.from(side))).transpose() };
}

/** Adds the products of one row's terms to the lower triangle. */
function addProducts(
  rows: Float64Array,
  row: number,
  size: number,
  weight: number,
  sums: Float64Array,
): void {
  for (let a = 0; a < size; a++) {
    const scaled = weight * rows[row + a];
    for (let b = 0; b <= a; b++) sums[a * size + b] += scaled * rows[row + b];
  }
}
