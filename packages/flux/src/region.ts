import type { CellsOnPicture } from './cells-on-picture.js';
import { overlappingPairs, type Pairs } from './overlapping-pairs.js';
import { RIM_PITCHES } from './tuning.js';

/** Where a picture is solved: its pixels that count, the array and a rim around it; and which cells meet. */
export interface Region {
  /** Size of the whole picture. */
  readonly width: number;
  readonly height: number;
  /** How many pixels count. */
  readonly counted: number;
  /** Stretches of counted pixels within one row: index of the first one and the one after the last, two a stretch. */
  readonly runs: Int32Array;
  /** Cells whose profiles may overlap. */
  readonly pairs: Pairs;
}

/** 1 for pixels within two pitches of any cell. */
export function nearCells(
  { x, y, pitchPx }: Pick<CellsOnPicture, 'x' | 'y' | 'pitchPx'>,
  width: number,
  height: number,
): Uint8Array {
  const mask = new Uint8Array(width * height);
  const reach = Math.ceil(RIM_PITCHES * pitchPx);
  for (let k = 0; k < x.length; k++) {
    const x0 = Math.max(0, Math.round(x[k]) - reach);
    const x1 = Math.min(width, Math.round(x[k]) + reach + 1);
    const y0 = Math.max(0, Math.round(y[k]) - reach);
    const y1 = Math.min(height, Math.round(y[k]) + reach + 1);
    for (let row = y0; row < y1; row++) mask.fill(1, row * width + x0, row * width + x1);
  }
  return mask;
}

/**
 * The part of the picture within two pitches of any cell.
 *
 * @param pairs - cells that meet, where they are known already
 * @param mask - 1 for the pixels that count, where others do
 */
export function regionOf(
  cells: CellsOnPicture,
  width: number,
  height: number,
  pairs: Pairs = overlappingPairs(cells),
  mask: Uint8Array = nearCells(cells, width, height),
): Region {
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
  return { width, height, counted, runs: Int32Array.from(runs), pairs };
}

/** Every so many-th of the counted pixels, from the first on: its index in the picture. */
export function somePixels({ runs, counted }: Region, stride: number): Int32Array {
  const some = new Int32Array(Math.ceil(counted / stride));
  let next = 0;
  for (let run = 0, n = 0; run < runs.length; run += 2) {
    const before = n - runs[run];
    n = before + runs[run + 1];
    for (; next * stride < n; next++) some[next] = next * stride - before;
  }
  return some;
}

/** Counted pixels that aren't marked. */
export function barePixels({ runs }: Region, marked: Uint8Array): Int32Array {
  let count = 0;
  for (let run = 0; run < runs.length; run += 2) {
    for (let at = runs[run]; at < runs[run + 1]; at++) count += 1 - marked[at];
  }
  const bare = new Int32Array(count);
  for (let run = 0, n = 0; run < runs.length; run += 2) {
    for (let at = runs[run]; at < runs[run + 1]; at++) if (marked[at] === 0) bare[n++] = at;
  }
  return bare;
}

/** 1 for the counted pixels that aren't clipped, over the whole picture. */
export function usablePixels({ width, height, runs }: Region, clipped: Float32Array | null): Uint8Array {
  const usable = new Uint8Array(width * height);
  for (let run = 0; run < runs.length; run += 2) usable.fill(1, runs[run], runs[run + 1]);
  if (clipped) for (let at = 0; at < usable.length; at++) if (clipped[at] > 0) usable[at] = 0;
  return usable;
}
