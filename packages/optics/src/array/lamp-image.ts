import { requirePositive } from '../check.js';
import { axisSpacingMm } from './axis-spacing.js';
import { type ArrayGeometry, requireArray } from './array.js';

/**
 * How many cells (pitches) apart the images of two lamps lie: δ = s(L + A)/((D + L + A)·front pitch).
 *
 * @param spacingMm - between the lamps, in a plane parallel to the front face
 * @param distanceMm - of the lamps from the front face
 */
export function lampSeparationCells(array: ArrayGeometry, spacingMm: number, distanceMm: number): number {
  return requirePositive('spacingMm', spacingMm) / axisSpacingMm(array, distanceMm);
}

/**
 * By how much the direction to a lamp off a tube's axis changes from one tube to the next:
 * front pitch × (1/(L + A) + 1/D), as a slope (radians for small angles).
 *
 * @param distanceMm - of the lamp from the front face; Infinity for a far scene
 */
export function angularPitch(array: ArrayGeometry, distanceMm: number): number {
  requireArray(array);
  if (!(distanceMm > 0)) throw new RangeError(`distanceMm must be above 0, got ${distanceMm}`);
  return (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm + array.frontPitchMm / distanceMm;
}

/**
 * How many cells the light of one lamp covers: acceptance width ÷ angular pitch.
 *
 * @param acceptanceWidthRad - full width at half maximum of one tube
 */
export function lampSpreadCells(
  array: ArrayGeometry,
  acceptanceWidthRad: number,
  distanceMm: number,
): number {
  requirePositive('acceptanceWidthRad', acceptanceWidthRad);
  return (2 * Math.tan(acceptanceWidthRad / 2)) / angularPitch(array, distanceMm);
}

/**
 * Whether a lamp can fall into the blind gap between two tubes: the angular pitch exceeds the acceptance width, so
 * that the light of one lamp covers less than one cell.
 */
export function isUndersampled(
  array: ArrayGeometry,
  acceptanceWidthRad: number,
  distanceMm: number,
): boolean {
  return lampSpreadCells(array, acceptanceWidthRad, distanceMm) < 1;
}

/**
 * The widest front pitch at which an array of this back pitch is not undersampled, mm. Below the back pitch it means
 * that no front pitch cures the array: it takes wider or shorter tubes, or a smaller back pitch.
 */
export function wellSampledFrontPitchMm(
  array: ArrayGeometry,
  acceptanceWidthRad: number,
  distanceMm: number,
): number {
  requireArray(array);
  requirePositive('acceptanceWidthRad', acceptanceWidthRad);
  if (!(distanceMm > 0)) throw new RangeError(`distanceMm must be above 0, got ${distanceMm}`);
  const width = 2 * Math.tan(acceptanceWidthRad / 2);
  return (width + array.backPitchMm / array.tubeLengthMm) / (1 / array.tubeLengthMm + 1 / distanceMm);
}
