import { Matrix, solve } from 'ml-matrix';
import { factorise, substitute } from './cholesky.js';

/**
 * Weighted linear least squares by its normal equations A·x = b with A = Σ w·r·rᵀ and b = Σ w·t·r over rows r with
 * weight w and target t. Rows are added one at a time and not kept.
 */
export class NormalEquations {
  /** A, size × size, row-major; only the lower triangle is filled. */
  readonly lower: Float64Array;
  /** b */
  readonly side: Float64Array;

  /** @param size - number of parameters */
  constructor(readonly size: number) {
    this.lower = new Float64Array(size * size);
    this.side = new Float64Array(size);
  }

  /** Back to no rows. */
  clear(): void {
    this.lower.fill(0);
    this.side.fill(0);
  }

  /**
   * Adds one row.
   *
   * @param row - `size` coefficients, from index `from` on
   */
  add(row: ArrayLike<number>, weight: number, target: number, from = 0): void {
    const { size, lower, side } = this;
    for (let i = 0; i < size; i++) {
      const scaled = weight * row[from + i];
      if (scaled === 0) continue;
      side[i] += scaled * target;
      for (let j = 0; j <= i; j++) lower[i * size + j] += scaled * row[from + j];
    }
  }

  /**
   * Adds one row that is 0 but for a few coefficients.
   *
   * @param places - of which parameters; one may stand there twice, its coefficients then add up
   * @param values - the coefficients
   * @param count - how many of both count
   */
  addFew(
    places: ArrayLike<number>,
    values: ArrayLike<number>,
    count: number,
    weight: number,
    target: number,
  ): void {
    const { size, lower, side } = this;
    for (let i = 0; i < count; i++) {
      const row = places[i];
      const scaled = weight * values[i];
      side[row] += scaled * target;
      for (let j = 0; j < count; j++) {
        if (places[j] <= row) lower[row * size + places[j]] += scaled * values[j];
      }
    }
  }

  /** Adds the prior that a parameter is `value`, with weight 1 / σ². */
  addPrior(parameter: number, weight: number, value = 0): void {
    this.lower[parameter * (this.size + 1)] += weight;
    this.side[parameter] += weight * value;
  }

  /** Adds all rows of other equations of the same size, their weights multiplied by a factor. */
  addAll(other: NormalEquations, factor: number): void {
    const { size, lower, side } = this;
    for (let i = 0; i < size; i++) {
      side[i] += factor * other.side[i];
      for (let n = i * size; n <= i * (size + 1); n++) lower[n] += factor * other.lower[n];
    }
  }

  /**
   * Adds the rows of other equations of the same size whose parameters are linear in these.
   *
   * @param matrix - size × size, row by row: the other's parameters are this matrix times these
   */
  addTransformed(other: NormalEquations, matrix: ArrayLike<number>): void {
    const { size, lower, side } = this;
    const half = new Float64Array(size);
    for (let k = 0; k < size; k++) {
      half.fill(0);
      for (let m = 0; m < size; m++) {
        const entry = k >= m ? other.lower[k * size + m] : other.lower[m * size + k];
        if (entry === 0) continue;
        for (let j = 0; j < size; j++) half[j] += entry * matrix[m * size + j];
      }
      for (let i = 0; i < size; i++) {
        const factor = matrix[k * size + i];
        if (factor === 0) continue;
        side[i] += factor * other.side[k];
        for (let j = 0; j <= i; j++) lower[i * size + j] += factor * half[j];
      }
    }
  }

  /** A as a full symmetric matrix, a copy. */
  matrix(): Matrix {
    const { size, lower } = this;
    const full = new Matrix(size, size);
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) {
        full.set(i, j, lower[i * size + j]);
        full.set(j, i, lower[i * size + j]);
      }
    }
    return full;
  }

  /** b as a column. */
  column(): Matrix {
    return Matrix.columnVector(this.side);
  }
}

/**
 * The equations of a fit whose rows of coefficients stand one after the other.
 *
 * @param weights - one a row; a row of weight 0 counts for nothing, whatever its target
 * @param targets - one a row
 */
export function equationsOf(
  rows: Float64Array,
  size: number,
  weights: ArrayLike<number>,
  targets: ArrayLike<number>,
): NormalEquations {
  const equations = new NormalEquations(size);
  const some = new Int32Array(ROWS_AT_ONCE);
  let count = 0;
  for (let n = 0; n < weights.length; n++) {
    if (weights[n] === 0) continue;
    some[count++] = n;
    if (count < ROWS_AT_ONCE) continue;
    addFour(equations, rows, some, weights, targets);
    count = 0;
  }
  for (let m = 0; m < count; m++) equations.add(rows, weights[some[m]], targets[some[m]], some[m] * size);
  return equations;
}

/** So many rows are added up before a sum is fetched and put back. */
const ROWS_AT_ONCE = 4;

function addFour(
  { size, lower, side }: NormalEquations,
  rows: Float64Array,
  some: Int32Array,
  weights: ArrayLike<number>,
  targets: ArrayLike<number>,
): void {
  const [p, q, r, s] = [some[0] * size, some[1] * size, some[2] * size, some[3] * size];
  const w = weights[some[0]];
  const x = weights[some[1]];
  const y = weights[some[2]];
  const z = weights[some[3]];
  const atP = targets[some[0]];
  const atQ = targets[some[1]];
  const atR = targets[some[2]];
  const atS = targets[some[3]];
  for (let i = 0, to = 0; i < size; i++, to += size) {
    const a = w * rows[p + i];
    const b = x * rows[q + i];
    const c = y * rows[r + i];
    const d = z * rows[s + i];
    side[i] += a * atP + b * atQ + c * atR + d * atS;
    for (let j = 0; j <= i; j++) {
      lower[to + j] += a * rows[p + j] + b * rows[q + j] + c * rows[r + j] + d * rows[s + j];
    }
  }
}

/** Smallest Cholesky pivot, against the largest, above which the factorisation keeps half of a double's digits. */
const LEAST_PIVOT = 1e-4;

/** Solution by Cholesky; where the rows do not determine it, the solution of least norm by singular values. */
export function solveEquations(equations: NormalEquations): Float64Array {
  const { size, side } = equations;
  const lower = equations.lower.slice();
  const positive = factorise(lower, size);
  let [least, most] = [Number.POSITIVE_INFINITY, 0];
  for (let n = 0; n < size; n++) {
    const pivot = lower[n * (size + 1)];
    least = Math.min(least, pivot);
    most = Math.max(most, pivot);
  }
  if (!positive || !(least > LEAST_PIVOT * most)) {
    return Float64Array.from(solve(equations.matrix(), equations.column(), true).getColumn(0));
  }
  const solved = side.slice();
  substitute(lower, solved);
  return solved;
}
