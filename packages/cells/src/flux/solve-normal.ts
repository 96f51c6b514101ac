import type { NormalMatrix } from './normal-equations.js';

function multiply(matrix: NormalMatrix, vector: Float64Array, into: Float64Array): void {
  for (let k = 0; k < vector.length; k++) into[k] = matrix.diagonal[k]! * vector[k]!;
  for (let n = 0; n < matrix.product.length; n++) {
    const k = matrix.first[n]!;
    const other = matrix.second[n]!;
    const value = matrix.product[n]!;
    into[k]! += value * vector[other]!;
    into[other]! += value * vector[k]!;
  }
}

export interface Solution {
  readonly values: Float64Array;
  readonly stopped: 'converged' | 'step-limit';
}

const MAX_STEPS = 400;
const RELATIVE_RESIDUAL = 1e-9;

/**
 * Solves G f = b by conjugate gradients, preconditioned by the diagonal. Cells without any weight come out as 0.
 *
 * Source: Golub & Van Loan, Matrix Computations, 3rd ed., algorithm 10.3.1.
 */
export function solveNormal(matrix: NormalMatrix, right: Float64Array): Solution {
  const count = right.length;
  const inverse = new Float64Array(count);
  const residual = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    if (!(matrix.diagonal[k]! > 0)) continue;
    inverse[k] = 1 / matrix.diagonal[k]!;
    residual[k] = right[k]!;
  }
  const values = new Float64Array(count);
  const scaled = residual.slice();
  scale(scaled, inverse);
  const direction = scaled.slice();
  const image = new Float64Array(count);
  let norm = dot(residual, scaled);
  const goal = norm * RELATIVE_RESIDUAL ** 2;
  for (let step = 0; step < MAX_STEPS; step++) {
    if (norm <= goal) return { values, stopped: 'converged' };
    multiply(matrix, direction, image);
    const length = norm / dot(direction, image);
    addScaled(values, length, direction);
    addScaled(residual, -length, image);
    scaled.set(residual);
    scale(scaled, inverse);
    const next = dot(residual, scaled);
    for (let k = 0; k < count; k++) direction[k] = scaled[k]! + (next / norm) * direction[k]!;
    norm = next;
  }
  return { values, stopped: 'step-limit' };
}

/** Σ a b. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}

/** Adds so much of the other values. */
export function addScaled(to: Float64Array, factor: number, values: Float64Array): void {
  for (let k = 0; k < to.length; k++) to[k]! += factor * values[k]!;
}

function scale(values: Float64Array, by: Float64Array): void {
  for (let k = 0; k < values.length; k++) values[k]! *= by[k]!;
}

/**
 * Variance of each cell's light for unit pixel weights = 1/variance: the diagonal of G⁻¹, from the block of the cell
 * and the neighbours it overlaps (farther cells change it by less than a few per cent).
 */
export function inverseDiagonal(matrix: NormalMatrix): Float64Array {
  const count = matrix.diagonal.length;
  const neighbours: number[][] = Array.from({ length: count }, () => []);
  const products = new Map<number, number>();
  for (let n = 0; n < matrix.product.length; n++) {
    const [k, other] = [matrix.first[n]!, matrix.second[n]!];
    neighbours[k]!.push(other);
    neighbours[other]!.push(k);
    products.set(k * count + other, matrix.product[n]!);
  }
  const result = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    if (matrix.diagonal[k]! <= 0) {
      result[k] = Number.POSITIVE_INFINITY;
      continue;
    }
    // The cell itself comes last: after a Cholesky decomposition its variance is 1 / (last pivot)².
    const block = [...neighbours[k]!.filter((other) => matrix.diagonal[other]! > 0), k];
    result[k] = 1 / lastPivot(block, matrix, products, count);
  }
  return result;
}

/** Square of the last pivot of the Cholesky decomposition of a block of G. */
function lastPivot(
  block: readonly number[],
  matrix: NormalMatrix,
  products: Map<number, number>,
  count: number,
): number {
  const size = block.length;
  const lower = new Float64Array(size * size);
  let pivot = 0;
  for (let r = 0; r < size; r++) {
    for (let c = 0; c <= r; c++) {
      const [a, b] = [block[r]!, block[c]!];
      let sum = a === b ? matrix.diagonal[a]! : (products.get(Math.min(a, b) * count + Math.max(a, b)) ?? 0);
      for (let n = 0; n < c; n++) sum -= lower[r * size + n]! * lower[c * size + n]!;
      if (r === c) {
        pivot = Math.max(sum, 1e-12 * matrix.diagonal[a]!);
        lower[r * size + r] = Math.sqrt(pivot);
      } else {
        lower[r * size + c] = sum / lower[c * size + c]!;
      }
    }
  }
  return pivot;
}
