import type { Plane } from '@twolamp/session';
import { slopeAt } from './background-plane.js';
import type { Pairs } from './overlapping-pairs.js';
import { largestStamp, type Stamps } from './stamps.js';

/**
 * Weighted least squares of all cells' lights at once: G f = b with G = Σ w P P', sparse since a profile overlaps only
 * its neighbours.
 */
export interface NormalMatrix {
  readonly pairs: Pairs;
  readonly diagonal: Float64Array;
  /** Of each pair of cells. */
  readonly product: Float64Array;
}

/** A picture with the weight of each pixel, 0 where it doesn't count. */
export interface WeightedPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
  readonly weights: Float32Array;
}

/** A picture with such weights; written out, so that its shape is the same wherever it is made. */
export function weighted({ width, height, data }: Plane, weights: Float32Array): WeightedPicture {
  return { width, height, data, weights };
}

/** Normal equations of the cells' lights. */
export interface CellEquations {
  readonly matrix: NormalMatrix;
  /** Σ w P · picture for every cell. */
  readonly right: Float64Array;
  /** The same of the background plane's three columns. */
  readonly plane: readonly [Float64Array, Float64Array, Float64Array];
}

/**
 * The cells' normal equations, in one pass over the stamps.
 *
 * @param stamps - profiles on the pixels
 * @param pairs - cells whose profiles may overlap
 * @param picture - picture to be explained
 */
export function cellEquations(stamps: Stamps, pairs: Pairs, picture: WeightedPicture): CellEquations {
  const count = stamps.left.length;
  const column = (): Float64Array => new Float64Array(count);
  const [even, right, down] = [column(), column(), column()];
  const found: CellEquations = {
    matrix: { pairs, diagonal: column(), product: new Float64Array(pairs.second.length) },
    right: column(),
    plane: [even, right, down],
  };
  const products = new Float32Array(largestStamp(stamps));
  for (let k = 0; k < count; k++) {
    gatherCell(stamps, k, picture, products, found);
    for (let n = pairs.start[k]; n < pairs.start[k + 1]; n++) {
      found.matrix.product[n] = overlapSum(stamps, k, pairs.second[n], products);
    }
  }
  return found;
}

/** Sums over one cell's stamp; leaves w P of it in `weighted`. */
function gatherCell(
  { values, start, left, top, width: across, height: high }: Stamps,
  k: number,
  { data, weights, width, height }: WeightedPicture,
  weighted: Float32Array,
  into: CellEquations,
): void {
  const columns = across[k];
  let square = 0;
  let light = 0;
  let sum = 0;
  let sumX = 0;
  let sumY = 0;
  for (let row = 0, at = start[k], n = 0; row < high[k]; row++) {
    const pixel = (top[k] + row) * width + left[k];
    let rowSum = 0;
    for (let column = 0; column < columns; column++, at++, n++) {
      const own = values[at];
      const product = weights[pixel + column] * own;
      weighted[n] = product;
      square += product * own;
      light += product * data[pixel + column];
      rowSum += product;
      sumX += product * column;
    }
    sum += rowSum;
    sumY += slopeAt(top[k] + row, height) * rowSum;
  }
  into.matrix.diagonal[k] = square;
  into.right[k] = light;
  into.plane[0][k] = sum;
  into.plane[1][k] = slopeAt(left[k], width) * sum + (2 * sumX) / width;
  into.plane[2][k] = sumY;
}

/** Σ w P P' over the pixels that two stamps share. @param weighted - w P of the first */
function overlapSum(
  { values, start, left, top, width, height }: Stamps,
  k: number,
  other: number,
  weighted: Float32Array,
): number {
  const x0 = Math.max(left[k], left[other]);
  const x1 = Math.min(left[k] + width[k], left[other] + width[other]);
  const y0 = Math.max(top[k], top[other]);
  const y1 = Math.min(top[k] + height[k], top[other] + height[other]);
  let sum = 0;
  for (let y = y0; y < y1; y++) {
    let own = (y - top[k]) * width[k] + x0 - left[k];
    let at = start[other] + (y - top[other]) * width[other] + x0 - left[other];
    for (let x = x0; x < x1; x++) sum += weighted[own++] * values[at++];
  }
  return sum;
}

/** Adds Σ f P to a picture. */
export function paint(stamps: Stamps, flux: Float64Array, into: Float32Array, width: number): void {
  for (let k = 0; k < flux.length; k++) if (flux[k] !== 0) paintCell(stamps, k, flux[k], into, width);
}

function paintCell(stamps: Stamps, k: number, light: number, into: Float32Array, width: number): void {
  const { values } = stamps;
  const across = stamps.width[k];
  for (let row = 0, at = stamps.start[k]; row < stamps.height[k]; row++) {
    let pixel = (stamps.top[k] + row) * width + stamps.left[k];
    for (const end = at + across; at < end; at++, pixel++) into[pixel] += light * values[at];
  }
}
