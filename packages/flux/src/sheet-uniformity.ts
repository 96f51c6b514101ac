import { factorise, madScale, median, substitute, thin } from '@twolamp/numeric';
import { PixelRows } from './pixel-rows.js';
import type { LearnedSheet } from './sheet-model.js';
import { spotNoiseFactor } from './spot-noise.js';
import { largestStamp, makeSlopes, type Slopes } from './stamps.js';

/** Light, place across and down, slope of brightness across and down. */
const MODES = 5;
const SLOPES = [3, 4] as const;
/** Cells that are used have at least this share of a typical cell's light. */
const TELLING_SHARE = 0.3;
/** Most of them asked, spread evenly. */
const MOST_TELLING = 400;
/**
 * Clouds' scatter of a spot's light over that of its slope of brightness, both in amounts of equally much light: for
 * clouds of equal variance in each octave of size. Found by drawing such clouds; no source.
 */
const LIGHT_PER_SLOPE = 3;
/** Slopes that scatter less than this, in their standard uncertainties, don't show clouds: imperfect profiles do as much. */
const LEAST_SCATTER = 1.4;

/**
 * How much the paper's clouds scatter the cells' light, relative: light that is taken for transmission where no bare shot
 * shows the paper alone. A spot's brightness then slopes one way or another by more than noise lets it. (Our own method.)
 *
 * @param sheet - learned from the even shot
 * @returns 0 where no clouds show
 */
export function sheetScatter(sheet: LearnedSheet): number {
  const { model, stamps, solution, weights } = sheet;
  const { cells, width } = model;
  const { flux, residual } = solution;
  const least = TELLING_SHARE * median(flux.filter((light) => light > 0));
  const all = Array.from(flux.keys()).filter((k) => flux[k] > least);
  const telling = thin(all, MOST_TELLING);
  const slopesOf = makeSlopes(stamps);
  const noise = spotNoiseFactor(cells, stamps, residual, weights, width);
  const pulls: number[] = [];
  const shares: number[] = [];
  const pixels = new PixelRows(MODES, largestStamp(stamps));
  for (const k of telling) {
    gather(sheet, k, slopesOf(k), pixels);
    const { lower: square, side } = pixels.equations();
    if (!factorise(square, MODES)) continue;
    substitute(square, side);
    for (const slope of SLOPES) pulls.push(side[slope] / (noise * Math.sqrt(varianceOf(slope, square))));
    shares.push((noise * Math.sqrt(varianceOf(0, square))) / flux[k]);
  }
  const scatter = madScale(pulls, 0);
  if (!(scatter > LEAST_SCATTER)) return 0;
  return LIGHT_PER_SLOPE * Math.sqrt(scatter ** 2 - 1) * median(shares);
}

/** One cell's modes in its pixels. */
function gather(
  { model: { cells, width }, stamps, solution: { residual }, weights }: LearnedSheet,
  k: number,
  { byX, byY }: Slopes,
  into: PixelRows,
): void {
  const { rows } = into;
  const { values } = stamps;
  const across = stamps.width[k];
  into.clear();
  for (let row = 0; row < stamps.height[k]; row++) {
    const pixel = (stamps.top[k] + row) * width + stamps.left[k];
    const from = stamps.start[k] + row * across;
    const dy = (stamps.top[k] + row - cells.y[k]) / cells.pitchPx;
    for (let n = 0; n < across; n++) {
      const light = values[from + n];
      if (light === 0) continue;
      const at = into.next();
      rows[at] = light;
      rows[at + 1] = byX[row * across + n];
      rows[at + 2] = byY[row * across + n];
      rows[at + 3] = ((stamps.left[k] + n - cells.x[k]) / cells.pitchPx) * light;
      rows[at + 4] = dy * light;
      into.close(weights[pixel + n], residual[pixel + n]);
    }
  }
}

/** An entry of the inverse's diagonal. @param lower - by factorise */
function varianceOf(mode: number, lower: Float64Array): number {
  const unit = new Float64Array(MODES);
  unit[mode] = 1;
  substitute(lower, unit);
  return unit[mode];
}
