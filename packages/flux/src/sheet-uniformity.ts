import { factorise, madScale, median, substitute, thin } from '@twolamp/numeric';
import type { LearnedSheet } from './sheet-model.js';
import { spotNoiseFactor } from './spot-noise.js';
import { makeSlopes } from './stamps.js';

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
export function sheetScatter({ model, stamps, solution, weights }: LearnedSheet): number {
  const { cells, width } = model;
  const { flux, residual } = solution;
  const least = TELLING_SHARE * median(flux.filter((light) => light > 0));
  const all = Array.from(flux.keys()).filter((k) => flux[k] > least);
  const telling = thin(all, MOST_TELLING);
  const slopesOf = makeSlopes(stamps);
  const noise = spotNoiseFactor(cells, stamps, residual, weights, width);
  const pulls: number[] = [];
  const shares: number[] = [];
  const modes = new Float64Array(MODES);
  for (const k of telling) {
    const square = new Float64Array(MODES * MODES);
    const side = new Float64Array(MODES);
    const { byX, byY } = slopesOf(k);
    let at = 0;
    for (let row = 0; row < stamps.height[k]; row++) {
      let pixel = (stamps.top[k] + row) * width + stamps.left[k];
      const dy = (stamps.top[k] + row - cells.y[k]) / cells.pitchPx;
      let dx = (stamps.left[k] - cells.x[k]) / cells.pitchPx;
      for (const end = at + stamps.width[k]; at < end; at++, pixel++, dx += 1 / cells.pitchPx) {
        const light = stamps.values[stamps.start[k] + at];
        if (light === 0) continue;
        modes[0] = light;
        modes[1] = byX[at];
        modes[2] = byY[at];
        modes[3] = dx * light;
        modes[4] = dy * light;
        for (let a = 0; a < MODES; a++) {
          const scaled = weights[pixel] * modes[a];
          side[a] += scaled * residual[pixel];
          for (let b = 0; b <= a; b++) square[a * MODES + b] += scaled * modes[b];
        }
      }
    }
    if (!factorise(square, MODES)) continue;
    substitute(square, side);
    for (const slope of SLOPES) pulls.push(side[slope] / (noise * Math.sqrt(varianceOf(slope, square))));
    shares.push((noise * Math.sqrt(varianceOf(0, square))) / flux[k]);
  }
  const scatter = madScale(pulls, 0);
  if (!(scatter > LEAST_SCATTER)) return 0;
  return LIGHT_PER_SLOPE * Math.sqrt(scatter ** 2 - 1) * median(shares);
}

/** An entry of the inverse's diagonal. @param lower - by factorise */
function varianceOf(mode: number, lower: Float64Array): number {
  const unit = new Float64Array(MODES);
  unit[mode] = 1;
  substitute(lower, unit);
  return unit[mode];
}
