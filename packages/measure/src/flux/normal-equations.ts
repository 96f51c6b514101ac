import type { CellsOnPicture } from './cells-on-picture.js';
import { slopeAt } from './floor.js';
import { REACH } from './footprint.js';
import type { Patches } from './patches.js';

/**
 * Weighted least squares of all cells' lights at once: G f = b with G = Σ w P P', sparse since a footprint overlaps only
 * its neighbours.
 */
export interface NormalMatrix extends Pairs {
  readonly diagonal: Float64Array;
  /** Of each pair of cells. */
  readonly product: Float64Array;
}

/** Pairs of cells, the first before the second in reading order. */
export interface Pairs {
  readonly first: Int32Array;
  readonly second: Int32Array;
}

/** Footprints that nearly touch count as overlapping, since places and stretch of cells are refined later, in pitches. */
const SLACK = 0.3;

/** Pairs of cells whose footprints overlap, or would if they lay a little nearer. */
export function overlappingPairs({ x, y, toPitch, pitchPx }: CellsOnPicture): Pairs {
  const reach = 2 * REACH + SLACK;
  // Cells stretched to twice the usual pitch still find each other within the next rows of buckets.
  const side = 2 * reach * pitchPx;
  const bucketOf = (at: number): number => Math.floor(at / side);
  const buckets = new Map<number, Map<number, number[]>>();
  for (let k = 0; k < x.length; k++) {
    const row = buckets.get(bucketOf(y[k]!)) ?? new Map<number, number[]>();
    buckets.set(bucketOf(y[k]!), row);
    const bucket = row.get(bucketOf(x[k]!));
    if (bucket) bucket.push(k);
    else row.set(bucketOf(x[k]!), [k]);
  }
  const [first, second]: [number[], number[]] = [[], []];
  for (let k = 0; k < x.length; k++) {
    for (let down = -1; down <= 1; down++) {
      const row = buckets.get(bucketOf(y[k]!) + down);
      for (let right = -1; right <= 1; right++) {
        for (const other of row?.get(bucketOf(x[k]!) + right) ?? []) {
          if (other <= k) continue;
          const dx = x[other]! - x[k]!;
          const dy = y[other]! - y[k]!;
          const p = toPitch[4 * k]! * dx + toPitch[4 * k + 1]! * dy;
          const q = toPitch[4 * k + 2]! * dx + toPitch[4 * k + 3]! * dy;
          if (p * p + q * q >= reach * reach) continue;
          first.push(k);
          second.push(other);
        }
      }
    }
  }
  return { first: Int32Array.from(first), second: Int32Array.from(second) };
}

interface Overlap {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function overlapOf(patches: Omit<Patches, 'values'>, k: number, other: number): Overlap | null {
  const left = Math.max(patches.left[k]!, patches.left[other]!);
  const right = Math.min(patches.left[k]! + patches.width[k]!, patches.left[other]! + patches.width[other]!);
  const top = Math.max(patches.top[k]!, patches.top[other]!);
  const bottom = Math.min(patches.top[k]! + patches.height[k]!, patches.top[other]! + patches.height[other]!);
  return left < right && top < bottom ? { left, right, top, bottom } : null;
}

/**
 * G for given pixel weights.
 *
 * @param patches - footprints on the pixels
 * @param pairs - cells whose footprints may overlap
 * @param weights - one a pixel of the picture, 0 where the pixel doesn't count
 * @param width - picture width
 */
export function normalMatrix(
  patches: Patches,
  pairs: Pairs,
  weights: Float32Array,
  width: number,
): NormalMatrix {
  const count = patches.left.length;
  const { values, start, left, top, width: across } = patches;
  const diagonal = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const own = { of: values, at: start[k]!, step: across[k]! };
    const pixels = { of: weights, at: top[k]! * width + left[k]!, step: width };
    diagonal[k] = sumOfProducts(pixels, own, own, across[k]!, patches.height[k]!);
  }
  const product = new Float64Array(pairs.first.length);
  for (let n = 0; n < product.length; n++) {
    const k = pairs.first[n]!;
    const other = pairs.second[n]!;
    const overlap = overlapOf(patches, k, other);
    if (!overlap) continue;
    const partOf = (cell: number): Strip => ({
      of: values,
      at: start[cell]! + (overlap.top - top[cell]!) * across[cell]! + overlap.left - left[cell]!,
      step: across[cell]!,
    });
    const pixels = { of: weights, at: overlap.top * width + overlap.left, step: width };
    const [wide, high] = [overlap.right - overlap.left, overlap.bottom - overlap.top];
    product[n] = sumOfProducts(pixels, partOf(k), partOf(other), wide, high);
  }
  return { diagonal, ...pairs, product };
}

/** A rectangle of values: where it starts, and how far it is from row to row. */
interface Strip {
  readonly of: Float32Array;
  readonly at: number;
  readonly step: number;
}

/** Σ a b c over a rectangle. A small function of its own is compiled sooner than a loop within a large one. */
function sumOfProducts(a: Strip, b: Strip, c: Strip, columns: number, rows: number): number {
  const [aOf, bOf, cOf] = [a.of, b.of, c.of];
  let sum = 0;
  for (let row = 0; row < rows; row++) {
    const aAt = a.at + row * a.step;
    const bAt = b.at + row * b.step;
    const cAt = c.at + row * c.step;
    for (let n = 0; n < columns; n++) sum += aOf[aAt + n]! * bOf[bAt + n]! * cOf[cAt + n]!;
  }
  return sum;
}

/** Σ w P · image for every cell: the right-hand side, and the projection of any picture on the footprints. */
export function project(
  patches: Patches,
  weights: Float32Array,
  image: Float32Array,
  width: number,
): Float64Array {
  const { values, start, left, top, width: across, height } = patches;
  const result = new Float64Array(left.length);
  for (let k = 0; k < result.length; k++) {
    const pixel = top[k]! * width + left[k]!;
    result[k] = sumOfProducts(
      { of: weights, at: pixel, step: width },
      { of: values, at: start[k]!, step: across[k]! },
      { of: image, at: pixel, step: width },
      across[k]!,
      height[k]!,
    );
  }
  return result;
}

/** The same of the floor's three columns. */
export function projectFloor(
  patches: Patches,
  weights: Float32Array,
  width: number,
  height: number,
): Float64Array[] {
  const count = patches.left.length;
  const [even, right, down] = [0, 1, 2].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let k = 0; k < count; k++) addFloor(patches, k, weights, width, height, even, right, down);
  return [even, right, down];
}

function addFloor(
  patches: Patches,
  k: number,
  weights: Float32Array,
  width: number,
  height: number,
  even: Float64Array,
  right: Float64Array,
  down: Float64Array,
): void {
  const [left, across] = [patches.left[k]!, patches.width[k]!];
  for (let row = 0; row < patches.height[k]!; row++) {
    const y = patches.top[k]! + row;
    const at = patches.start[k]! + row * across;
    let sum = 0;
    let moment = 0;
    for (let n = 0; n < across; n++) {
      const light = weights[y * width + left + n]! * patches.values[at + n]!;
      sum += light;
      moment += light * n;
    }
    even[k]! += sum;
    right[k]! += slopeAt(left, width) * sum + (2 * moment) / width;
    down[k]! += slopeAt(y, height) * sum;
  }
}

/** Adds Σ f P to a picture. */
export function paint(patches: Patches, flux: Float64Array, into: Float32Array, width: number): void {
  for (let k = 0; k < flux.length; k++) paintCell(patches, k, flux[k]!, into, width);
}

function paintCell(patches: Patches, k: number, light: number, into: Float32Array, width: number): void {
  const across = patches.width[k]!;
  for (let row = 0; row < patches.height[k]!; row++) {
    const at = patches.start[k]! + row * across;
    const pixel = (patches.top[k]! + row) * width + patches.left[k]!;
    for (let n = 0; n < across; n++) into[pixel + n]! += light * patches.values[at + n]!;
  }
}

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
