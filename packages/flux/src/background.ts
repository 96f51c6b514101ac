import { Matrix } from 'ml-matrix';
import { PLANE_TERMS, slopeAt } from './background-plane.js';
import { type WeightedPicture, weighted } from './normal-equations.js';
import { type Patch, patchesOf, patchSums, sumOver } from './patches.js';
import type { Region } from './region.js';
import type { Room } from './room.js';
import { type CoarseLight, lightAlong } from './wings.js';

/** What lies under the cells' lights: the background plane's columns, then the wings' parts. */
export interface Background {
  /** The picture less the wings that are known; 0 outside the region. */
  readonly cleared: WeightedPicture;
  /** Each part of the wings on the pixels. */
  readonly parts: readonly Patch[];
  /** Normal equations of the columns' amounts alone. */
  readonly square: Matrix;
  readonly side: Matrix;
}

/**
 * Goes through the counted pixels once, row by row.
 *
 * @param parts - wings whose amount is sought, all on one grid
 * @param fixed - wings that are known
 */
export function gatherBackground(
  picture: WeightedPicture,
  region: Region,
  parts: readonly CoarseLight[],
  fixed: CoarseLight | null,
  room: Room,
): Background {
  const { data, weights } = picture;
  const target = room.take(data.length);
  if (fixed) takeOff(data, fixed, region, target);
  else copyRuns(data, region, target);
  const terms = PLANE_TERMS + parts.length;
  const [square, side] = [Matrix.zeros(terms, terms), Matrix.zeros(terms, 1)];
  const { moments, pull } = planeSums(target, weights, region);
  for (let m = 0; m < PLANE_TERMS; m++) {
    side.set(m, 0, pull[m]);
    for (let other = 0; other < PLANE_TERMS; other++) square.set(m, other, moments[m][other]);
  }
  const patches = patchesOf(parts, region);
  const cleared = weighted({ width: picture.width, height: picture.height, data: target }, weights);
  patches.forEach((patch, n) => {
    const m = PLANE_TERMS + n;
    const { light, plane } = patchSums(patch, cleared);
    plane.forEach((sum, row) => {
      square.set(row, m, sum);
    });
    side.set(m, 0, light);
    for (let other = n; other < patches.length; other++)
      square.set(m, PLANE_TERMS + other, sumOver(patch, patches[other], picture));
  });
  return { cleared, parts: patches, square, side };
}

/** A picture less light that is known, on the counted pixels. */
function takeOff(data: Float32Array, light: CoarseLight, { width, runs }: Region, into: Float32Array): void {
  const known = new Float64Array(width);
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const y = Math.floor(from / width);
    lightAlong(light, from - y * width, y, end - from, known);
    for (let at = from, n = 0; at < end; at++, n++) into[at] = data[at] - known[n];
  }
}

function copyRuns(data: Float32Array, { runs }: Region, into: Float32Array): void {
  for (let run = 0; run < runs.length; run += 2) {
    into.set(data.subarray(runs[run], runs[run + 1]), runs[run]);
  }
}

/** Weighted sums of the plane's columns with each other, and with a picture. */
function planeSums(
  picture: Float32Array,
  weights: Float32Array,
  { width, height, runs }: Region,
): { readonly moments: readonly (readonly number[])[]; readonly pull: readonly [number, number, number] } {
  let one = 0;
  let x1 = 0;
  let y1 = 0;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let p = 0;
  let px = 0;
  let py = 0;
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const row = Math.floor(from / width);
    const y = slopeAt(row, height);
    let w0 = 0;
    let w1 = 0;
    let w2 = 0;
    let p0 = 0;
    let p1 = 0;
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

/**
 * Finishes the model, which holds the cells' lights, by what lies under them.
 *
 * @param amounts - of the background's columns
 * @param model - completed in place
 * @returns picture minus model, in the place of the background's cleared picture
 */
export function restOver(
  picture: Float32Array,
  region: Region,
  { cleared: { data: target }, parts }: Background,
  amounts: Float64Array,
  model: Float32Array,
): Float32Array {
  for (let m = 0; m < parts.length; m++) addPatch(parts[m], amounts[PLANE_TERMS + m], model, region.width);
  restInRuns(picture, region, target, amounts, model);
  return target;
}

function restInRuns(
  picture: Float32Array,
  { width, height, runs }: Region,
  target: Float32Array,
  amounts: Float64Array,
  model: Float32Array,
): void {
  const step = (2 * amounts[1]) / width;
  for (let run = 0; run < runs.length; run += 2) {
    const [from, end] = [runs[run], runs[run + 1]];
    const row = Math.floor(from / width);
    let under =
      amounts[0] + amounts[1] * slopeAt(from - row * width, width) + amounts[2] * slopeAt(row, height);
    for (let at = from; at < end; at++, under += step) {
      const left = target[at] - under - model[at];
      target[at] = left;
      model[at] = picture[at] - left;
    }
  }
}

function addPatch(
  { left, top, width, height, data }: Patch,
  amount: number,
  into: Float32Array,
  across: number,
): void {
  for (let row = 0, n = 0; row < height; row++) {
    let at = (top + row) * across + left;
    for (const end = at + width; at < end; at++, n++) into[at] += amount * data[n];
  }
}
