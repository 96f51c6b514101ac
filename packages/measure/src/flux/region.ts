import type { CellsOnPicture } from './cells-on-picture.js';
import { overlappingPairs, type Pairs } from './overlapping-pairs.js';

/** Where a picture is solved: its pixels that count, the array and a rim around it, M of them; and which cells meet. */
export interface Region {
  /** Size of the whole picture. */
  readonly width: number;
  readonly height: number;
  /** Index of each counted pixel in the picture, row by row. */
  readonly pixels: Int32Array;
  /** Stretches of counted pixels within one row: index of the first one and the one after the last, two a stretch. */
  readonly runs: Int32Array;
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
  const runs: number[] = [];
  let counted = 0;
  for (let y = 0; y < height; y++) {
    const end = (y + 1) * width;
    for (let from = mask.indexOf(1, y * width); from >= 0 && from < end; ) {
      const stop = mask.indexOf(0, from);
      const to = stop < 0 || stop > end ? end : stop;
      runs.push(from, to);
      counted += to - from;
      from = mask.indexOf(1, to);
    }
  }
  const pixels = new Int32Array(counted);
  for (let run = 0, n = 0; run < runs.length; run += 2) {
    for (let at = runs[run]!; at < runs[run + 1]!; at++) pixels[n++] = at;
  }
  return { width, height, pixels, runs: Int32Array.from(runs), pairs: overlappingPairs(cells) };
}

/** 1 for the counted pixels that aren't clipped, over the whole picture. */
export function usablePixels(region: Region, clipped: Float32Array): Uint8Array {
  const usable = new Uint8Array(clipped.length);
  const { pixels } = region;
  for (let n = 0; n < pixels.length; n++) usable[pixels[n]!] = clipped[pixels[n]!] === 0 ? 1 : 0;
  return usable;
}
