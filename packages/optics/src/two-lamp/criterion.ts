import { requireInside } from '../check.js';

/**
 * Least dip that counts as separate after Rayleigh: the valley of two images of a circular aperture, each peak on
 * the other's first dark ring, lies 26.5 % below the peaks. Source: 1 − 0.735, Born & Wolf, Principles of Optics,
 * section 8.6.2; DiMarzio, Optics for Engineers (2011) p. 258 (73 %).
 */
const RAYLEIGH_DIP = 0.265;

export type Criterion = 'rayleigh' | 'sparrow' | number;

/** The least dip a criterion asks for; 0 for Sparrow, which asks for any dip at all. */
export function requiredDip(criterion: Criterion): number {
  if (criterion === 'rayleigh') return RAYLEIGH_DIP;
  if (criterion === 'sparrow') return 0;
  return requireInside('criterion', criterion, 0, 1);
}

export function isSeparate(dip: number, required: number): boolean {
  return dip > 0 && dip >= required;
}
