import type { CellLight, CellsOnPicture } from '@twolamp/cells';
import { biweightScale, fitRobustSurface, median, supportedDegree } from '@twolamp/numeric';
import { FLAT_FIELD_CELLS_PER_TERM } from './tuning.js';

const MOST_DEGREE = 4;

/**
 * Light of the cells over that of the bare sheet: vignetting, uneven light and the paper's own clouds are gone.
 *
 * What the bare sheet's light departs from a smooth surface from cell to cell is partly the paper's clouds and partly
 * the photo's noise; so much of it is believed as its scatter exceeds the noise (Wiener's filter; N. Wiener,
 * Extrapolation, Interpolation, and Smoothing of Stationary Time Series, 1949).
 *
 * @param light - of N cells in the even shot
 * @param bare - illuminance of the bare sheet at each cell, with its standard uncertainty
 * @param cells - gives the pixels² a pitch² covers
 * @param u - lattice co-ordinate of each cell across, in pitches
 * @param v - down, in rows
 */
export function overBare(
  light: CellLight,
  bare: { readonly level: Float64Array; readonly sigma: Float64Array },
  { area }: Pick<CellsOnPicture, 'area'>,
  u: Float64Array,
  v: Float64Array,
): CellLight {
  const degree = supportedDegree(u.length, FLAT_FIELD_CELLS_PER_TERM, MOST_DEGREE, 1) ?? 0;
  const logs = bare.level.map(Math.log);
  const { fitted } = fitRobustSurface(u, v, logs, degree);
  const rough = logs.map((value, k) => value - fitted[k]);
  const noise = median(bare.sigma.map((value, k) => value / bare.level[k]));
  const scatter = biweightScale(rough);
  const believed = scatter > noise ? 1 - (noise / scatter) ** 2 : 0;
  const level = fitted.map((value, k) => Math.exp(value + believed * rough[k]));
  const flux = light.flux.map((value, k) => value / (level[k] * area[k]));
  return {
    ...light,
    flux,
    sigma: light.sigma.map((value, k) =>
      Math.hypot(value / (level[k] * area[k]), Math.sqrt(believed) * noise * flux[k]),
    ),
  };
}
