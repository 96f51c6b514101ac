import type { ArraySpec } from '@twolamp/session';
import type { CellLight, CellsOnPicture } from '@twolamp/cells';
import { PITCH_UNCERTAINTY, WINGS_UNCERTAINTY } from './tuning.js';

/** Absolute transmission of each tube; N cells, reading order. */
export interface AbsoluteTransmission {
  readonly absolute: Float64Array;
  readonly sigma: Float64Array;
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
  const haloRelative = (WINGS_UNCERTAINTY * haloShare) / (1 + haloShare);
  const absolute = even.flux.map((flux, k) => flux / (boreArea * cells.area[k] * bare.level[k]));
  const sigma = absolute.map((value, k) => {
    const counted = even.sigma[k] / (boreArea * cells.area[k] * bare.level[k]);
    const bareRelative = bare.sigma[k] / bare.level[k];
    return Math.hypot(counted, value * haloRelative, value * bareRelative, value * 2 * PITCH_UNCERTAINTY);
  });
  return { absolute, sigma };
}
