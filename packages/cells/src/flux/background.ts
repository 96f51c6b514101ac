import { Matrix } from 'ml-matrix';
import { PLANE_TERMS, slopeAt } from './background-plane.js';
import type { WeightedPicture } from './normal-equations.js';
import type { Region } from './region.js';
import type { Room } from './room.js';
import { type CoarseLight, lightAlong } from './wings.js';

/** What lies under the cells' lights: the background plane's columns, then the wings' parts. */
export interface Background {
  /** The picture less the wings that are known; 0 outside the region. */
  readonly target: Float32Array;
  /** Each part of the wings on the pixels. */
  readonly parts: readonly Float32Array[];
  /** Normal equations of the columns' amounts alone. */
  readonly square: Matrix;
  readonly side: Matrix;
}

/**
 * Goes through the counted pixels once, row by row.
 *
 * @param parts - pictures of wings whose amount is sought
 * @param fixed - wings that are known
 */
export function gatherBackground(
  { data, weights }: WeightedPicture,
  region: Region,
  parts: readonly CoarseLight[],
  fixed: CoarseLight | null,
  room: Room,
): Background {
  const { width, runs } = region;
  const target = room(data.length);
  const known = new Float64Array(width);
  const pictures = parts.map(() => room(data.length));
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const y = Math.floor(from / width);
    if (fixed) lightAlong(fixed, from - y * width, y, end - from, known);
    for (let at = from, n = 0; at < end; at++, n++) target[at] = data[at] - known[n];
    parts.forEach((part, m) => {
      lightAlong(part, from - y * width, y, end - from, known);
      pictures[m].set(known.subarray(0, end - from), from);
    });
    if (parts.length > 0) known.fill(0);
  }
  const terms = PLANE_TERMS + parts.length;
  const [square, side] = [Matrix.zeros(terms, terms), Matrix.zeros(terms, 1)];
  const { moments, pull } = planeSums(target, weights, region);
  for (let m = 0; m < PLANE_TERMS; m++) {
    side.set(m, 0, pull[m]);
    for (let other = 0; other < PLANE_TERMS; other++) square.set(m, other, moments[m][other]);
  }
  pictures.forEach((picture, n) => {
    const m = PLANE_TERMS + n;
    const [even, right, down] = planeSums(picture, weights, region).pull;
    square.set(0, m, even);
    square.set(1, m, right);
    square.set(2, m, down);
    side.set(m, 0, weightedSum(weights, picture, target));
    for (let other = n; other < parts.length; other++)
      square.set(m, PLANE_TERMS + other, weightedSum(weights, picture, pictures[other]));
  });
  return { target, parts: pictures, square, side };
}

/** Weighted sums of the plane's columns with each other, and with a picture. */
function planeSums(
  picture: Float32Array,
  weights: Float32Array,
  { width, height, runs }: Region,
): { readonly moments: readonly (readonly number[])[]; readonly pull: readonly [number, number, number] } {
  let [one, x1, y1, xx, xy, yy, p, px, py] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const row = Math.floor(from / width);
    const y = slopeAt(row, height);
    let [w0, w1, w2, p0, p1] = [0, 0, 0, 0, 0];
    for (let at = from, x = slopeAt(from - row * width, width); at < end; at++, x += 2 / width) {
      const weight = weights[at];
      const along = weight * x;
      const light = weight * picture[at];
      w0 += weight;
      w1 += along;
      w2 += along * x;
      p0 += light;
      p1 += light * x;
    }
    one += w0;
    x1 += w1;
    y1 += y * w0;
    xx += w2;
    xy += y * w1;
    yy += y * y * w0;
    p += p0;
    px += p1;
    py += y * p0;
  }
  const moments = [
    [one, x1, y1],
    [x1, xx, xy],
    [y1, xy, yy],
  ];
  return { moments, pull: [p, px, py] };
}

function weightedSum(weights: Float32Array, a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let at = 0; at < a.length; at++) sum += weights[at] * a[at] * b[at];
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
  picture: Float32Array,
  { width, height, runs }: Region,
  { target, parts }: Background,
  amounts: Float64Array,
  model: Float32Array,
  room: Room,
): Float32Array {
  const rest = room(target.length);
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const row = Math.floor(from / width);
    parts.forEach((part, m) => {
      const amount = amounts[PLANE_TERMS + m];
      for (let at = from; at < end; at++) model[at] += amount * part[at];
    });
    const step = (2 * amounts[1]) / width;
    let under =
      amounts[0] + amounts[1] * slopeAt(from - row * width, width) + amounts[2] * slopeAt(row, height);
    for (let at = from; at < end; at++, under += step) {
      const left = target[at] - under - model[at];
      rest[at] = left;
      model[at] = picture[at] - left;
    }
  }
  return rest;
}
