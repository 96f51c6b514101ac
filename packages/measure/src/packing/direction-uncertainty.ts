import { tubeBack } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { MIDDLE_PITCHES, PLACE_SHARE } from './tuning.js';

/**
 * What the places of packed tubes leave uncertain of their directions: standard, along one axis, degrees; 0 of other arrays. Lamps are
 * measured from the middle of the front face, and a bundle's middle and scale are known from its photo only. Neighbours have it in
 * common, so it takes no part in the search for faults.
 *
 * @param lampDistanceMm - from the front face
 */
export function directionUncertaintyDeg(array: ArraySpec, tube: number, lampDistanceMm: number): number {
  if (array.arrangement !== 'packed') return 0;
  const { acrossMm, upMm } = tubeBack(array, tube);
  const placeMm = Math.hypot(MIDDLE_PITCHES * array.backPitchMm, PLACE_SHARE * Math.hypot(acrossMm, upMm));
  return (Math.atan(placeMm / lampDistanceMm) * 180) / Math.PI;
}
