import { requirePositive } from '../check.js';
import { HALF_MAXIMUM_SHIFT } from '../tube/absorbing.js';
import { requireTube, type TubeSize } from '../tube/tube.js';

/**
 * Resolution of a parallel-hole collimator as the textbooks state it: R = d(L + D)/L, mm in the lamp's plane. It is
 * exact for square holes along a side; for round bores see {@link roundBoreResolutionMm}.
 *
 * @param distanceMm - of the source from the front face
 *
 * Source: Cherry, Sorenson & Phelps, Physics in Nuclear Medicine, collimator resolution (holes of opaque wall).
 */
export function collimatorResolutionMm(tube: TubeSize, distanceMm: number): number {
  requirePositive('distanceMm', distanceMm);
  const { boreMm, lengthMm } = requireTube(tube);
  return (boreMm * (lengthMm + distanceMm)) / lengthMm;
}

/** Full width at half maximum of a parallel array's response with round bores and black walls, mm in the lamp's plane: 0.808 R. */
export function roundBoreResolutionMm(tube: TubeSize, distanceMm: number): number {
  return 2 * HALF_MAXIMUM_SHIFT * collimatorResolutionMm(tube, distanceMm);
}
