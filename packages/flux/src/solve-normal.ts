import type { NormalMatrix } from './normal-equations.js';
import { pairOf } from './overlapping-pairs.js';

function multiply(
  { pairs, diagonal, product }: NormalMatrix,
  vector: Float64Array,
  into: Float64Array,
): void {
  const { start, second } = pairs;
  for (let k = 0; k < vector.length; k++) into[k] = diagonal[k] * vector[k];
  for (let k = 0; k < vector.length; k++) {
    const own = vector[k];
    let sum = 0;
    for (let n = start[k]; n < start[k + 1]; n++) {
      const other = second[n];
      sum += product[n] * vector[other];
      into[other] += product[n] * own;
    }
    into[k] += sum;
  }
}

export interface Solution {
  readonly values: Float64Array;
  readonly stopped: 'converged' | 'step-limit';
}

/** Numerical tolerances: far below any light's uncertainty. */
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
    if (!(matrix.diagonal[k] > 0)) continue;
    inverse[k] = 1 / matrix.diagonal[k];
    residual[k] = right[k];
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
    for (let k = 0; k < count; k++) direction[k] = scaled[k] + (next / norm) * direction[k];
    norm = next;
  }
  return { values, stopped: 'step-limit' };
}

/** Σ a b. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[k];
  return sum;
}

/** Adds so much of the other values. */
export function addScaled(to: Float64Array, factor: number, values: Float64Array): void {
  for (let k = 0; k < to.length; k++) to[k] += factor * values[k];
}

function scale(values: Float64Array, by: Float64Array): void {
  for (let k = 0; k < values.length; k++) values[k] *= by[k];
}

/** Neighbours whose lights are correlated less than this, squared, change a variance by less than a millionth. */
const LEAST_CORRELATION_SQUARE = 1e-6;

/**
 * Variance of each cell's light for unit pixel weights = 1/variance: the diagonal of G⁻¹, from the block of the cell
 * and the neighbours it overlaps (farther cells change it by less than a few per cent).
 */
export function inverseDiagonal(matrix: NormalMatrix): Float64Array {
  const { diagonal } = matrix;
  const neighbours = correlated(matrix);
  const result = new Float64Array(diagonal.length);
  const most = 1 + neighbours.reduce((count, list) => Math.max(count, list.length), 0);
  const lower = new Float64Array(most * most);
  for (let k = 0; k < result.length; k++) {
    // The cell itself comes last: after a Cholesky decomposition its variance is 1 / (last pivot)².
    const block = neighbours[k];
    block.push(k);
    result[k] = diagonal[k] > 0 ? 1 / lastPivot(block, matrix, lower) : Number.POSITIVE_INFINITY;
  }
  return result;
}

function correlated({ pairs: { start, second }, diagonal, product }: NormalMatrix): number[][] {
  const neighbours: number[][] = Array.from(diagonal, () => []);
  for (let k = 0; k < neighbours.length; k++) {
    for (let n = start[k]; n < start[k + 1]; n++) {
      const other = second[n];
      if (!(product[n] ** 2 > LEAST_CORRELATION_SQUARE * diagonal[k] * diagonal[other])) continue;
      neighbours[k].push(other);
      neighbours[other].push(k);
    }
  }
  return neighbours;
}

/** Square of the last pivot of the Cholesky decomposition of a block of G. */
function lastPivot(
  block: readonly number[],
  { pairs, diagonal, product }: NormalMatrix,
  lower: Float64Array,
): number {
  const size = block.length;
  let pivot = 0;
  for (let r = 0; r < size; r++) {
    for (let c = 0; c <= r; c++) {
      const a = block[r];
      const b = block[c];
      let sum = diagonal[a];
      if (a !== b) {
        const pair = pairOf(pairs, Math.min(a, b), Math.max(a, b));
        sum = pair < 0 ? 0 : product[pair];
      }
      for (let n = 0; n < c; n++) sum -= lower[r * size + n] * lower[c * size + n];
      if (r === c) {
        pivot = Math.max(sum, 1e-12 * diagonal[a]);
        lower[r * size + r] = Math.sqrt(pivot);
      } else {
        lower[r * size + c] = sum / lower[c * size + c];
      }
    }
  }
  return pivot;
}
