import { slopeAt } from './floor.js';
import type { Pairs } from './overlapping-pairs.js';
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
