import type { Plane } from '@twolamp/session';
import { Matrix } from 'ml-matrix';
import { FLOOR_TERMS, slopeAt } from './floor.js';
import { type CoarseLight, lightAlong } from './halo.js';
import type { Region } from './region.js';

/** What lies under the cells' lights: the floor's columns, then the halo's parts. */
export interface Background {
  /** The picture less what is known; 0 outside the region. */
  readonly target: Float32Array;
  /** Each part of the halo on the pixels. */
  readonly parts: readonly Float32Array[];
  /** Normal equations of the columns' amounts alone. */
  readonly square: Matrix;
  readonly side: Matrix;
}

/**
 * Goes through the counted pixels once, row by row.
 *
 * @param weights - 1/variance of each pixel of the picture
 * @param parts - halo pictures whose amount is sought
 * @param fixed - halo already known
 */
export function gatherBackground(
  picture: Plane,
  { width, height, runs }: Region,
  weights: Float32Array,
  parts: readonly CoarseLight[],
  fixed: CoarseLight | null,
): Background {
  const size = picture.data.length;
  const terms = FLOOR_TERMS + parts.length;
  const columns = Array.from({ length: terms }, () => new Float64Array(width).fill(1));
  const [known, weighted] = [new Float64Array(width), new Float64Array(width)];
  const target = new Float32Array(size);
  const pictures = parts.map(() => new Float32Array(size));
  const [square, side] = [Matrix.zeros(terms, terms), Matrix.zeros(terms, 1)];
  for (let run = 0; run < runs.length; run += 2) {
    const [from, count] = [runs[run]!, runs[run + 1]! - runs[run]!];
    const y = Math.floor(from / width);
    const x = from - y * width;
    if (fixed) lightAlong(fixed, x, y, count, known);
    for (let n = 0; n < count; n++) {
      target[from + n] = picture.data[from + n]! - known[n]!;
      columns[1]![n] = slopeAt(x + n, width);
    }
    columns[2]!.fill(slopeAt(y, height), 0, count);
    parts.forEach((part, n) => {
      const column = columns[FLOOR_TERMS + n]!;
      lightAlong(part, x, y, count, column);
      pictures[n]!.set(column.subarray(0, count), from);
    });
    for (let m = 0; m < terms; m++) {
      weigh(columns[m]!, weights, from, count, weighted);
      side.set(m, 0, side.get(m, 0) + sumOver(weighted, target.subarray(from, from + count), count));
      for (let other = m; other < terms; other++) {
        square.set(m, other, square.get(m, other) + sumOver(weighted, columns[other]!, count));
      }
    }
  }
  return { target, parts: pictures, square, side };
}

function weigh(
  column: Float64Array,
  weights: Float32Array,
  from: number,
  count: number,
  into: Float64Array,
): void {
  for (let n = 0; n < count; n++) into[n] = weights[from + n]! * column[n]!;
}

function sumOver(a: Float64Array, b: Float64Array | Float32Array, count: number): number {
  let sum = 0;
  for (let n = 0; n < count; n++) sum += a[n]! * b[n]!;
  return sum;
}

/**
 * Finishes the model, which holds the cells' lights, by what lies under them.
 *
 * @param amounts - of the background's columns
 * @param model - completed in place
 * @returns picture minus model
 */
export function restOver(
  picture: Plane,
  { width, height, runs }: Region,
  { target, parts }: Background,
  amounts: Float64Array,
  model: Float32Array,
): Float32Array {
  const rest = new Float32Array(target.length);
  const under = new Float64Array(width);
  for (let run = 0; run < runs.length; run += 2) {
    const [from, count] = [runs[run]!, runs[run + 1]! - runs[run]!];
    const y = Math.floor(from / width);
    const even = amounts[0]! + amounts[2]! * slopeAt(y, height);
    for (let n = 0, x = from - y * width; n < count; n++, x++)
      under[n] = even + amounts[1]! * slopeAt(x, width);
    parts.forEach((part, m) => {
      for (let n = 0; n < count; n++) under[n]! += amounts[FLOOR_TERMS + m]! * part[from + n]!;
    });
    for (let n = 0, at = from; n < count; n++, at++) {
      rest[at] = target[at]! - under[n]! - model[at]!;
      model[at] = picture.data[at]! - rest[at]!;
    }
  }
  return rest;
}
