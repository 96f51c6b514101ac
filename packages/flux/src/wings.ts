import type { Plane } from '@twolamp/session';
import { blur, enlarged, reducePlane } from '@twolamp/places';
import type { CellsOnPicture } from './cells-on-picture.js';

/**
 * What the sheet and the lens scatter beyond the profile: a share of each cell's light, spread by a few Gaussians.
 */
export interface Wings {
  /** Light in each Gaussian, per unit of light in the profile; not below 0. */
  readonly shares: Float64Array;
}

/** Standard deviations of the Gaussians, in pitches: wider than the profile, narrower than an array; each twice the one before. */
export const WING_SIGMAS = [0.8, 1.6, 3.2] as const;
/** Coarse grid steps a pitch, on which the wings are computed: they have no finer detail. */
const STEPS = 3;
const MARGIN_PITCHES = 8;

/** Light outside the profile, per unit of light in it. */
export function wingShare(wings: Wings): number {
  return wings.shares.reduce((sum, share) => sum + share, 0);
}

/** Spread light on a coarse grid, with its way back to pixels. */
export interface CoarseLight {
  readonly plane: Plane;
  readonly left: number;
  readonly top: number;
  readonly stepPx: number;
}

/** Cell lights as points on the coarse grid, each shared among four nodes. */
function scatter(cells: CellsOnPicture, flux: Float64Array): CoarseLight {
  const stepPx = cells.pitchPx / STEPS;
  const margin = MARGIN_PITCHES * cells.pitchPx;
  let left = Number.POSITIVE_INFINITY;
  let top = Number.POSITIVE_INFINITY;
  let right = -Infinity;
  let bottom = -Infinity;
  for (let k = 0; k < flux.length; k++) {
    left = Math.min(left, cells.x[k]);
    right = Math.max(right, cells.x[k]);
    top = Math.min(top, cells.y[k]);
    bottom = Math.max(bottom, cells.y[k]);
  }
  [left, top] = [left - margin, top - margin];
  const width = Math.ceil((right + margin - left) / stepPx) + 2;
  const height = Math.ceil((bottom + margin - top) / stepPx) + 2;
  const data = new Float32Array(width * height);
  for (let k = 0; k < flux.length; k++) {
    const x = (cells.x[k] - left) / stepPx;
    const y = (cells.y[k] - top) / stepPx;
    const column = Math.floor(x);
    const row = Math.floor(y);
    const fx = x - column;
    const fy = y - row;
    const at = row * width + column;
    // Flux per node becomes light per pixel.
    const light = flux[k] / (stepPx * stepPx);
    data[at] += light * (1 - fx) * (1 - fy);
    data[at + 1] += light * fx * (1 - fy);
    data[at + width] += light * (1 - fx) * fy;
    data[at + width + 1] += light * fx * fy;
  }
  return { plane: { width, height, data }, left, top, stepPx };
}

/**
 * Points blurred by each of the Gaussians. A wider one begins with the one before, on a grid twice as coarse, which holds
 * all of it; its own blur is the less what the mean over 2 × 2 nodes and the way back to the fine grid blur.
 */
function gaussians(points: Plane): Plane[] {
  let coarse = points;
  let variance = 0;
  return WING_SIGMAS.map((sigma, n) => {
    const factor = 2 ** n;
    if (n > 0) {
      coarse = reducePlane(coarse, 2);
      // (2² − 1)/12 of a mean over two nodes.
      variance += (factor / 2) ** 2 / 4;
    }
    // (k² − 1)/6 of a triangle 2k wide.
    const wanted = (sigma * STEPS) ** 2 - (factor ** 2 - 1) / 6;
    coarse = blur(coarse, Math.sqrt(wanted - variance) / factor);
    variance = wanted;
    return n > 0 ? enlarged(coarse, factor, points.width, points.height) : coarse;
  });
}

/** Each Gaussian's light for wings shares of 1. */
export function wingParts(cells: CellsOnPicture, flux: Float64Array): CoarseLight[] {
  const points = scatter(cells, flux);
  const { left, top, stepPx } = points;
  return gaussians(points.plane).map((plane) => ({ plane, left, top, stepPx }));
}

/** The parts together, so much of each. */
export function wingsOf(parts: readonly CoarseLight[], amounts: ArrayLike<number>): CoarseLight {
  const {
    plane: { width, height },
    left,
    top,
    stepPx,
  } = parts[0];
  const data = new Float32Array(width * height);
  parts.forEach(({ plane }, n) => {
    const amount = amounts[n];
    if (amount === 0) return;
    for (let i = 0; i < data.length; i++) data[i] += amount * plane.data[i];
  });
  return { plane: { width, height, data }, left, top, stepPx };
}

/** All Gaussians together. */
export function wingLight(cells: CellsOnPicture, flux: Float64Array, wings: Wings): CoarseLight {
  return wingsOf(wingParts(cells, flux), wings.shares);
}

/** Light per pixel at a place of the picture, bilinear; 0 beyond the grid. */
export function lightAt({ plane, left, top, stepPx }: CoarseLight, x: number, y: number): number {
  const gx = (x - left) / stepPx;
  const gy = (y - top) / stepPx;
  const column = Math.floor(gx);
  const row = Math.floor(gy);
  if (column < 0 || row < 0 || column + 1 >= plane.width || row + 1 >= plane.height) return 0;
  const fx = gx - column;
  const fy = gy - row;
  const at = row * plane.width + column;
  const upper = plane.data[at] * (1 - fx) + plane.data[at + 1] * fx;
  const lower = plane.data[at + plane.width] * (1 - fx) + plane.data[at + plane.width + 1] * fx;
  return upper * (1 - fy) + lower * fy;
}

/** The same along a row: `count` pixels from (x, y) on. */
export function lightAlong(
  { plane, left, top, stepPx }: CoarseLight,
  x: number,
  y: number,
  count: number,
  into: Float64Array,
): void {
  const gy = (y - top) / stepPx;
  const row = Math.floor(gy);
  if (row < 0 || row + 1 >= plane.height) {
    into.fill(0, 0, count);
    return;
  }
  const { width, data } = plane;
  const below = gy - row;
  const above = 1 - (gy - row);
  const placeOf = (column: number): number => Math.ceil(left + column * stepPx - x);
  const first = Math.min(count, Math.max(0, placeOf(0)));
  const end = Math.max(first, Math.min(count, placeOf(width - 1)));
  into.fill(0, 0, first);
  into.fill(0, end, count);
  // From grid node to grid node the light changes evenly.
  for (let column = Math.max(0, Math.floor((x + first - left) / stepPx)), n = first; n < end; column++) {
    const at = row * width + column;
    const before = data[at] * above + data[at + width] * below;
    const after = data[at + 1] * above + data[at + width + 1] * below;
    const step = (after - before) / stepPx;
    const from = before - step * (left + column * stepPx - x);
    for (const stop = Math.min(end, placeOf(column + 1)); n < stop; n++) into[n] = from + n * step;
  }
}
