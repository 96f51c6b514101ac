import { absorbingWidthRad, circleOverlap } from './absorbing.js';
import type { Acceptance } from './acceptance.js';
import { requireTube, type TubeSize } from './tube.js';
import { absorbingEvenThroughput } from './view-factor.js';

/** Acceptance of a straight tube with a black wall, in closed form. */
export function absorbingAcceptance(tube: TubeSize): Acceptance {
  const { boreMm, lengthMm } = requireTube(tube);
  const boresPerSlope = lengthMm / boreMm;
  return {
    at: (across, up) => circleOverlap(boresPerSlope * Math.hypot(across, up)),
    axial: 1,
    widthRad: absorbingWidthRad(tube),
    widthBesideRad: absorbingWidthRad(tube),
    centre: { across: 0, up: 0 },
    evenThroughput: absorbingEvenThroughput(tube),
  };
}
