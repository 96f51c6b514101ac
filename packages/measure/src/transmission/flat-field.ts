import type { CellLight, CellsOnPicture } from '@twolamp/flux';
import { biweightScale, fitRobustSurface, median, supportedDegree } from '@twolamp/numeric';
import { FLAT_FIELD_CELLS_PER_TERM } from './tuning.js';

const MOST_DEGREE = 4;

/**
 * Flat-field correction: light of the cells over that of the bare sheet, without vignetting, uneven illumination and the
 * sheet's own non-uniformity.
 *
 * The bare sheet's light departs from a smooth surface by the sheet's non-uniformity and by the photo's noise. It is
 * shrunk by the share of noise in that scatter (Wiener filter; N. Wiener, Extrapolation, Interpolation, and Smoothing of
 * Stationary Time Series, 1949).
 *
 * @param light - of N cells in the even shot
 * @param bare - illuminance of the bare sheet at each cell, with its standard uncertainty
 * @param cells - gives the pixels² a pitch² covers
 * @param u - lattice co-ordinate of each cell across, in pitches
 * @param v - down, in rows
 */
export function flatFieldCorrected(
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
  const signalShare = scatter > noise ? 1 - (noise / scatter) ** 2 : 0;
  const level = fitted.map((value, k) => Math.exp(value + signalShare * rough[k]));
  const flux = light.flux.map((value, k) => value / (level[k] * area[k]));
  return {
    ...light,
    flux,
    sigma: light.sigma.map((value, k) =>
      Math.hypot(value / (level[k] * area[k]), Math.sqrt(signalShare) * noise * flux[k]),
    ),
  };
}
