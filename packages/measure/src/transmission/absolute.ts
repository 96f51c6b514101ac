import type { ArraySpec } from '@twolamp/session';
import type { CellLight, CellsOnPicture } from '@twolamp/flux';
import { PITCH_UNCERTAINTY, WINGS_UNCERTAINTY } from './tuning.js';

/** Absolute transmission of each tube; N cells, reading order. */
export interface AbsoluteTransmission {
  readonly absolute: Float64Array;
  readonly sigma: Float64Array;
}

/**
 * Absolute transmission: light out of the tube per bore area, over the illuminance of the bare sheet in the same light.
 *
 * @param even - light of the cells in the even shot, wings included, per unit of exposure
 * @param bare - illuminance of the bare sheet at each cell, per unit of exposure
 * @param cells - gives the pixels² a pitch² covers
 * @param array - bore and back pitch
 * @param wingsShare - light in the profile's wings per unit in its core
 */
export function absoluteTransmission(
  even: CellLight,
  bare: { level: Float64Array; sigma: Float64Array },
  cells: CellsOnPicture,
  array: ArraySpec,
  wingsShare: number,
): AbsoluteTransmission {
  const boreArea = (Math.PI / 4) * (array.tubeBoreMm / array.backPitchMm) ** 2;
  const wingsRelative = (WINGS_UNCERTAINTY * wingsShare) / (1 + wingsShare);
  const absolute = even.flux.map((flux, k) => flux / (boreArea * cells.area[k] * bare.level[k]));
  const sigma = absolute.map((value, k) => {
    const counted = even.sigma[k] / (boreArea * cells.area[k] * bare.level[k]);
    const bareRelative = bare.sigma[k] / bare.level[k];
    return Math.hypot(counted, value * wingsRelative, value * bareRelative, value * 2 * PITCH_UNCERTAINTY);
  });
  return { absolute, sigma };
}
