import { requirePositive } from '../check.js';
import { type ArrayGeometry, requireArray } from './array.js';

/**
 * How far behind the sheet the axes of a diverging array meet, mm: A = L·back/(front − back).
 *
 * @returns Infinity for a parallel array
 */
export function apexDistanceMm(array: ArrayGeometry): number {
  requireArray(array);
  return (array.tubeLengthMm * array.backPitchMm) / (array.frontPitchMm - array.backPitchMm);
}

/**
 * Distance between the axes of neighbouring tubes in the plane of a lamp, mm: front pitch × (1 + D/(L + A)).
 *
 * @param distanceMm - from the front face
 */
export function axisSpacingMm(array: ArrayGeometry, distanceMm: number): number {
  requireArray(array);
  requirePositive('distanceMm', distanceMm);
  const spread = array.frontPitchMm - array.backPitchMm;
  return array.frontPitchMm + (spread * distanceMm) / array.tubeLengthMm;
}
