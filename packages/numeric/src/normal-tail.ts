import { errorFunction } from 'simple-statistics';

const SERIES_BEGINS = 3;
const FRACTION_TERMS = 60;

/**
 * Chance that a standard normal value exceeds z, upper tail only.
 *
 * Far out, where 1 − erf loses its digits, by Laplace's continued fraction.
 *
 * @returns 0 to 1, relative error below 1e-4; NaN for NaN
 * Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.2.14.
 */
export function normalTail(z: number): number {
  if (!(z > SERIES_BEGINS)) return 0.5 * (1 - errorFunction(z / Math.SQRT2));
  let fraction = z;
  for (let term = FRACTION_TERMS; term >= 1; term--) fraction = z + term / fraction;
  return Math.exp(-0.5 * z * z) / (Math.sqrt(2 * Math.PI) * fraction);
}
