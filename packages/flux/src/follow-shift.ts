import type { Plane } from '@twolamp/session';
import { type CellsOnPicture, someCells } from './cells-on-picture.js';
import { coarseShift, type Shift } from './coarse-shift.js';
import { moved } from './drift.js';
import { OwnDiscs } from './own-discs.js';
import type { SheetModel } from './sheet-model.js';
import { makeSlopes, makeStamps, type Stamps } from './stamps.js';
import { FOLLOWED_SHARE } from './tuning.js';

/** Limit of computing time: brightest cells that a shift is followed with. */
const MOST_FOLLOWED = 120;

const ROUNDS = 6;
/** Numerical tolerance, pitches: a step as small as this leaves less than a tenth of it. */
const SETTLED_PITCHES = 0.008;
/** Unknowns of each guide that are eliminated: its light and an even background. */
const OWN_UNKNOWNS = 2;

/**
 * Shift of a picture against the even shot, by the brightest cells alone: each with a light and an even background of its
 * own, all with one shift, by Gauss–Newton steps over their own discs. Good to a hundredth of a pitch; neighbours' tails
 * are left in.
 *
 * @param picture - linear light, dark frame off
 * @param usable - 1 for pixels that count
 * @returns null where the picture has too little light
 */
export function followShift(picture: Plane, sheet: SheetModel, usable: Uint8Array): Shift | null {
  let shift = coarseShift(picture, sheet.cells);
  const guides = guidesOf(picture, moved(sheet.cells, shift));
  const few = someCells(sheet.cells, guides);
  for (let round = 0; round < ROUNDS; round++) {
    const cells = moved(few, shift);
    const stamps = makeStamps(cells, (n) => sheet.profiles[guides[n]], picture.width, picture.height);
    const step = commonStep(picture, cells, stamps, usable);
    if (!step) return null;
    shift = [shift[0] + step[0], shift[1] + step[1]];
    if (Math.hypot(...step) < SETTLED_PITCHES * sheet.cells.pitchPx) break;
  }
  return shift;
}

/** The brightest cells by the light at their middles. */
function guidesOf(picture: Plane, { x, y }: CellsOnPicture): number[] {
  const light = new Float64Array(x.length);
  for (let k = 0; k < light.length; k++) light[k] = lightAbout(picture, Math.round(x[k]), Math.round(y[k]));
  const sorted = Array.from(light.keys()).sort((a, b) => light[b] - light[a]);
  const least = FOLLOWED_SHARE * light[sorted[0]];
  return sorted.slice(0, MOST_FOLLOWED).filter((k) => light[k] > least);
}

/** Light of 3 × 3 pixels; 0 where they don't lie in the picture. */
function lightAbout({ width, height, data }: Plane, column: number, row: number): number {
  if (column < 1 || row < 1 || column >= width - 1 || row >= height - 1) return 0;
  let sum = 0;
  for (let dy = -1; dy <= 1; dy++)
    for (let dx = -1; dx <= 1; dx++) sum += data[(row + dy) * width + column + dx];
  return sum;
}

/** One Gauss–Newton step of the shift that all cells have in common; null where it can't be determined. */
function commonStep(picture: Plane, cells: CellsOnPicture, stamps: Stamps, usable: Uint8Array): Shift | null {
  const slopesOf = makeSlopes(stamps);
  const discs = new OwnDiscs(cells, stamps);
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let x = 0;
  let y = 0;
  for (let k = 0; k < cells.x.length; k++) {
    discs.take(k);
    const own = discSums(picture, discs, stamps, k, slopesOf(k), usable);
    if (!own) continue;
    xx += own.xx;
    xy += own.xy;
    yy += own.yy;
    x += own.x;
    y += own.y;
  }
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 1e-9 * xx * yy)) return null;
  return [(yy * x - xy * y) / determinant, (xx * y - xy * x) / determinant];
}

/**
 * A cell's part of the normal equations of the shift, over its own disc, its light and background eliminated, in units of
 * its residual variance; null where it says nothing.
 *
 * @param discs - turned to this cell
 */
function discSums(
  { data, width }: Plane,
  discs: OwnDiscs,
  stamps: Stamps,
  k: number,
  { byX, byY }: { readonly byX: Float32Array; readonly byY: Float32Array },
  usable: Uint8Array,
) {
  let n = 0;
  let p = 0;
  let pp = 0;
  let s = 0;
  let ps = 0;
  let ss = 0;
  let gx = 0;
  let gy = 0;
  let pgx = 0;
  let pgy = 0;
  let sgx = 0;
  let sgy = 0;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let row = 0; row < stamps.height[k]; row++) {
    let at = row * stamps.width[k] + discs.from[row];
    let pixel = (stamps.top[k] + row) * width + stamps.left[k] + discs.from[row];
    for (const end = row * stamps.width[k] + discs.end[row]; at < end; at++, pixel++) {
      if (!usable[pixel]) continue;
      const profile = stamps.values[stamps.start[k] + at];
      const light = data[pixel];
      const a = byX[at];
      const b = byY[at];
      n++;
      p += profile;
      pp += profile * profile;
      s += light;
      ps += profile * light;
      ss += light * light;
      gx += a;
      gy += b;
      pgx += profile * a;
      pgy += profile * b;
      sgx += light * a;
      sgy += light * b;
      xx += a * a;
      xy += a * b;
      yy += b * b;
    }
  }
  const spread = pp - (p * p) / n;
  if (n <= OWN_UNKNOWNS || !(spread > 0)) return null;
  // Covariances about the means, then with the profile's own part taken out.
  const flux = (ps - (p * s) / n) / spread;
  const pa = pgx - (p * gx) / n;
  const pb = pgy - (p * gy) / n;
  const left = ss - (s * s) / n - flux * (ps - (p * s) / n);
  const variance = Math.max(left / (n - OWN_UNKNOWNS), 1e-6 * flux * flux * (pp / n));
  if (!(flux > 0 && variance > 0)) return null;
  const scale = (flux * flux) / variance;
  const pull = flux / variance;
  return {
    xx: scale * (xx - (gx * gx) / n - (pa * pa) / spread),
    xy: scale * (xy - (gx * gy) / n - (pa * pb) / spread),
    yy: scale * (yy - (gy * gy) / n - (pb * pb) / spread),
    x: pull * (sgx - (s * gx) / n - flux * pa),
    y: pull * (sgy - (s * gy) / n - flux * pb),
  };
}
