import { slopeAt } from './background-plane.js';
import type { WeightedPicture } from './normal-equations.js';
import type { Region } from './region.js';
import type { Stamps } from './stamps.js';
import { type CoarseLight, lightAlong } from './wings.js';

/** Light on a rectangle of the picture's pixels; 0 elsewhere. */
export interface Patch {
  /** Top-left pixel and size. */
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/** Coarse lights on the pixels that their grid covers; all on one grid, so that their rectangles are the same. */
export function patchesOf(
  lights: readonly CoarseLight[],
  { width, height }: Pick<Region, 'width' | 'height'>,
): Patch[] {
  return lights.map((light) => {
    const { plane, stepPx } = light;
    const left = Math.min(width, Math.max(0, Math.floor(light.left)));
    const top = Math.min(height, Math.max(0, Math.floor(light.top)));
    const right = Math.max(left, Math.min(width, Math.ceil(light.left + stepPx * plane.width)));
    const bottom = Math.max(top, Math.min(height, Math.ceil(light.top + stepPx * plane.height)));
    const [across, down] = [right - left, bottom - top];
    const data = new Float32Array(across * down);
    const line = new Float64Array(across);
    for (let row = 0; row < down; row++) {
      lightAlong(light, left, top + row, across, line);
      data.set(line, row * across);
    }
    return { left, top, width: across, height: down, data };
  });
}

/** Weighted sums of a patch with a picture, and with the background plane's three columns. */
export function patchSums(
  { left, top, width, height, data }: Patch,
  picture: WeightedPicture,
): { readonly light: number; readonly plane: readonly [number, number, number] } {
  let light = 0;
  let sum = 0;
  let sumX = 0;
  let sumY = 0;
  for (let row = 0, n = 0; row < height; row++) {
    const from = (top + row) * picture.width + left;
    let rowSum = 0;
    for (let column = 0; column < width; column++, n++) {
      const weighted = picture.weights[from + column] * data[n];
      light += weighted * picture.data[from + column];
      rowSum += weighted;
      sumX += weighted * slopeAt(left + column, picture.width);
    }
    sum += rowSum;
    sumY += slopeAt(top + row, picture.height) * rowSum;
  }
  return { light, plane: [sum, sumX, sumY] };
}

/** Weighted sum of the products of two patches of one rectangle. */
export function sumOver(
  { left, top, width, height, data }: Patch,
  other: Patch,
  { weights, width: across }: WeightedPicture,
): number {
  let sum = 0;
  for (let row = 0, n = 0; row < height; row++) {
    let at = (top + row) * across + left;
    for (const end = at + width; at < end; at++, n++) sum += weights[at] * data[n] * other.data[n];
  }
  return sum;
}

/** Σ w P · patch for every cell. */
export function projectPatch(
  stamps: Stamps,
  patch: Patch,
  picture: Pick<WeightedPicture, 'weights' | 'width'>,
): Float64Array {
  return Float64Array.from(stamps.left, (_, k) => projectOnCell(stamps, k, patch, picture));
}

function projectOnCell(
  { values, start, left, top, width, height }: Stamps,
  k: number,
  patch: Patch,
  { weights, width: across }: Pick<WeightedPicture, 'weights' | 'width'>,
): number {
  const x0 = Math.max(left[k], patch.left);
  const x1 = Math.min(left[k] + width[k], patch.left + patch.width);
  const y1 = Math.min(top[k] + height[k], patch.top + patch.height);
  let sum = 0;
  for (let y = Math.max(top[k], patch.top); y < y1; y++) {
    let own = start[k] + (y - top[k]) * width[k] + x0 - left[k];
    let n = (y - patch.top) * patch.width + x0 - patch.left;
    for (let x = x0; x < x1; x++) sum += weights[y * across + x] * values[own++] * patch.data[n++];
  }
  return sum;
}
