import type { ArraySpec } from '@twolamp/session';
import type { CellLight } from '../cell-light.js';
import type { CellsOnPicture } from '../flux/cells-on-picture.js';
import type { ReducedPhoto } from '../light/plane.js';
import { madScale } from '../statistics/robust.js';

/** Absolute transmission of each tube; N cells, reading order. */
export interface AbsoluteTransmission {
  readonly absolute: Float64Array;
  readonly sigma: Float64Array;
}

/** How well the share of light in the halo is known: it rests on faint light around the array. A judgement, no source. */
const HALO_UNCERTAINTY = 0.15;

/**
 * A hand-laid array's true pitch departs from the stated one (a bulged outline has wider cells in its middle), and with it
 * the scale in pixels a millimetre by which the bore's area is known. A judgement, no source.
 */
const PITCH_UNCERTAINTY = 0.015;

/**
 * Illuminance of the bare sheet at each cell, mean over a disc a pitch wide.
 *
 * Its standard uncertainty is what the discs' quarters differ by (first and third against second and fourth, which no
 * slope shows in), so that noise a photo's compression has spread over many pixels is counted as well.
 */
export function bareLevels(
  bare: ReducedPhoto,
  cells: CellsOnPicture,
): { level: Float64Array; sigma: Float64Array; clipped: boolean } {
  const count = cells.x.length;
  const [level, twist] = [new Float64Array(count), new Float64Array(count)];
  const half = Math.max(1, Math.round(cells.pitchPx / 2));
  let clipped = false;
  for (let k = 0; k < count; k++) {
    let [n, sum] = [0, 0];
    const quarters = [0, 0, 0, 0];
    const pixels = [0, 0, 0, 0];
    const [x, y] = [Math.round(cells.x[k]!), Math.round(cells.y[k]!)];
    for (let row = Math.max(0, y - half); row <= Math.min(bare.height - 1, y + half); row++) {
      for (let column = Math.max(0, x - half); column <= Math.min(bare.width - 1, x + half); column++) {
        if (Math.hypot(column - x, row - y) > half) continue;
        const light = bare.data[row * bare.width + column]!;
        if (bare.clipped[row * bare.width + column]! > 0) clipped = true;
        n++;
        sum += light;
        if (row === y || column === x) continue;
        const quarter = 2 * Number(row > y) + Number(column > x);
        quarters[quarter]! += light;
        pixels[quarter]!++;
      }
    }
    level[k] = sum / n;
    const [a, b, c, d] = quarters.map((light, q) => light / pixels[q]!);
    twist[k] = (a! - b! - c! + d!) / 4 / level[k]!;
  }
  // Four quarters' mean and their twist have the same variance.
  const scatter = madScale(twist, 0);
  return { level, sigma: level.map((value) => scatter * value), clipped };
}

/**
 * Absolute transmission: the light that comes out of the tube, spread over its bore's area, over the illuminance of the
 * bare sheet in the same light.
 *
 * @param even - light of the cells in the even shot, halo included, per unit of exposure
 * @param bare - illuminance of the bare sheet at each cell, per unit of exposure
 * @param cells - gives the pixels² a pitch² covers
 * @param array - bore and back pitch
 * @param haloShare - light in the halo per unit in the footprint
 */
export function absoluteTransmission(
  even: CellLight,
  bare: { level: Float64Array; sigma: Float64Array },
  cells: CellsOnPicture,
  array: ArraySpec,
  haloShare: number,
): AbsoluteTransmission {
  const boreArea = (Math.PI / 4) * (array.tubeBoreMm / array.backPitchMm) ** 2;
  const haloRelative = (HALO_UNCERTAINTY * haloShare) / (1 + haloShare);
  const absolute = even.flux.map((flux, k) => flux / (boreArea * cells.area[k]! * bare.level[k]!));
  const sigma = absolute.map((value, k) => {
    const counted = even.sigma[k]! / (boreArea * cells.area[k]! * bare.level[k]!);
    const bareRelative = bare.sigma[k]! / bare.level[k]!;
    return Math.hypot(counted, value * haloRelative, value * bareRelative, value * 2 * PITCH_UNCERTAINTY);
  });
  return { absolute, sigma };
}
