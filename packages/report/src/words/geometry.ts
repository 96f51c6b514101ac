import type { Result } from '@twolamp/session';

const DEG_PER_RAD = 180 / Math.PI;
/** Full width at half maximum of an absorbing straight tube, in bores over length: overlap of two circles. */
const ABSORBING_WIDTH = 0.808;

type ArrayOfTubes = Result['array'];

/**
 * Distance from the front face back to the apex, L + A with A = L·back/(front − back), in mm; Infinity for a parallel array.
 * Negative where the axes meet before the array.
 */
export function apexToFrontMm(array: ArrayOfTubes): number {
  const spread = array.frontPitchMm - array.backPitchMm;
  if (spread === 0) return Number.POSITIVE_INFINITY;
  return array.tubeLengthMm + (array.tubeLengthMm * array.backPitchMm) / spread;
}

/** Acceptance width of a straight tube with an absorbing wall, degrees. */
export function absorbingWidthDeg(array: ArrayOfTubes): number {
  return ((ABSORBING_WIDTH * array.tubeBoreMm) / array.tubeLengthMm) * DEG_PER_RAD;
}

/**
 * Cells that one lamp's light covers at full width at half maximum: acceptance width over the angle from tube to tube
 * that a lamp at that distance sees.
 */
export function spreadCells(array: ArrayOfTubes, acceptanceWidthDeg: number, distanceMm: number): number {
  const perCellRad = array.frontPitchMm * Math.abs(1 / apexToFrontMm(array) + 1 / distanceMm);
  return acceptanceWidthDeg / DEG_PER_RAD / perCellRad;
}
