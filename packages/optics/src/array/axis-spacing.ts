import { requirePositive } from '../check.js';
import { type ArrayGeometry, requireArray } from './array.js';

/**
 * Distance between the axes of neighbouring tubes in the plane of a lamp, mm: front pitch × (1 + D/(L + A)) with A =
 * L·back/(front − back), the distance behind the sheet at which the axes meet.
 *
 * @param distanceMm - from the front face
 */
export function axisSpacingMm(array: ArrayGeometry, distanceMm: number): number {
  requireArray(array);
  requirePositive('distanceMm', distanceMm);
  const spread = array.frontPitchMm - array.backPitchMm;
  return array.frontPitchMm + (spread * distanceMm) / array.tubeLengthMm;
}
