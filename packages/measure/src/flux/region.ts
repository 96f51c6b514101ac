import type { CellsOnPicture } from './cells-on-picture.js';
import { overlappingPairs, type Pairs } from './normal-equations.js';

/** Where a picture is solved: its pixels that count, the array and a rim around it, M of them; and which cells meet. */
export interface Region {
  /** Size of the whole picture. */
  readonly width: number;
  readonly height: number;
  /** Index of each counted pixel in the picture, row by row. */
  readonly pixels: Int32Array;
  /** Columns of the floor over the counted pixels: 1, and a slope from −1 to 1 each way. */
  readonly floor: readonly Float32Array[];
  /** Cells whose footprints may overlap. */
  readonly pairs: Pairs;
}

const RIM_PITCHES = 2;

/** The part of the picture within two pitches of any cell. */
export function regionOf(cells: CellsOnPicture, width: number, height: number): Region {
  const mask = new Uint8Array(width * height);
  const reach = Math.ceil(RIM_PITCHES * cells.pitchPx);
  for (let k = 0; k < cells.x.length; k++) {
    const x0 = Math.max(0, Math.round(cells.x[k]!) - reach);
    const x1 = Math.min(width, Math.round(cells.x[k]!) + reach + 1);
    const y0 = Math.max(0, Math.round(cells.y[k]!) - reach);
    const y1 = Math.min(height, Math.round(cells.y[k]!) + reach + 1);
    for (let y = y0; y < y1; y++) mask.fill(1, y * width + x0, y * width + x1);
  }
  const counted = mask.reduce((sum, counts) => sum + counts, 0);
  const pixels = new Int32Array(counted);
  const floor = [0, 1, 2].map(() => new Float32Array(counted));
  for (let at = 0, n = 0; at < mask.length; at++) {
    if (!mask[at]) continue;
    pixels[n] = at;
    floor[0]![n] = 1;
    floor[1]![n] = (2 * (at % width)) / width - 1;
    floor[2]![n] = (2 * Math.floor(at / width)) / height - 1;
    n++;
  }
  return { width, height, pixels, floor, pairs: overlappingPairs(cells) };
}

/** 1 for the counted pixels that aren't clipped, over the whole picture. */
export function usablePixels(region: Region, clipped: Float32Array): Uint8Array {
  const usable = new Uint8Array(clipped.length);
  for (const at of region.pixels) usable[at] = clipped[at] === 0 ? 1 : 0;
  return usable;
}
