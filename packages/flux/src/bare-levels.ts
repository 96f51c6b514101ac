import { madScale } from '@twolamp/numeric';
import type { ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture } from './cells-on-picture.js';

/** Illuminance of the bare sheet at each cell, with its standard uncertainty; N values, full scale. */
export interface BareLevels {
  readonly level: Float64Array;
  readonly sigma: Float64Array;
}

/**
 * Illuminance of the bare sheet at each cell, mean over a disc a pitch wide.
 *
 * Its standard uncertainty is what the discs' quarters differ by (first and third against second and fourth, which no
 * slope shows in), so that noise a photo's compression has spread over many pixels is counted as well.
 *
 * @returns `clipped`: whether any of these pixels is
 */
export function bareLevels(
  bare: ReducedPhoto,
  cells: CellsOnPicture,
): BareLevels & { readonly clipped: boolean } {
  const count = cells.x.length;
  const [level, twist] = [new Float64Array(count), new Float64Array(count)];
  const half = Math.max(1, Math.round(cells.pitchPx / 2));
  let clipped = false;
  for (let k = 0; k < count; k++) {
    let n = 0;
    let sum = 0;
    const quarters = [0, 0, 0, 0];
    const pixels = [0, 0, 0, 0];
    const [x, y] = [Math.round(cells.x[k]), Math.round(cells.y[k])];
    for (let row = Math.max(0, y - half); row <= Math.min(bare.height - 1, y + half); row++) {
      for (let column = Math.max(0, x - half); column <= Math.min(bare.width - 1, x + half); column++) {
        if (Math.hypot(column - x, row - y) > half) continue;
        const light = bare.data[row * bare.width + column];
        if (bare.clipped && bare.clipped[row * bare.width + column] > 0) clipped = true;
        n++;
        sum += light;
        if (row === y || column === x) continue;
        const quarter = 2 * Number(row > y) + Number(column > x);
        quarters[quarter] += light;
        pixels[quarter]++;
      }
    }
    level[k] = sum / n;
    const [a, b, c, d] = quarters.map((light, q) => light / pixels[q]);
    twist[k] = (a! - b! - c! + d!) / 4 / level[k];
  }
  // Four quarters' mean and their twist have the same variance.
  const scatter = madScale(twist, 0);
  return { level, sigma: level.map((value) => scatter * value), clipped };
}
