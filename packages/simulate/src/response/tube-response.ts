import type { Slopes, TubeSize } from '@twolamp/optics';
import { bowedSight, straightSight } from './direct-sight.js';
import { summarise } from './summary.js';

/** How a tube answers to light from the scene. Slopes are against its chord, as seen from the back. */
export interface TubeResponse {
  /**
   * Share of a point lamp's light into the bore that comes out.
   *
   * @param across - tangent of the angle between the chord and the direction from the front end to the lamp
   * @param distanceMm - of the lamp from the front face
   */
  at(across: number, up: number, distanceMm: number): number;
  /** Full width at half maximum for far lamps, through the peak, across. */
  readonly widthRad: number;
  /** Centre of gravity for far lamps. */
  readonly centre: Slopes;
  /** Share of even (Lambertian) light into the bore that comes out, of a tube square to the front face. */
  readonly evenThroughput: number;
}

/** Response of a tube with a black wall, bent or straight. */
export function tubeResponse(tube: TubeSize, bowMm: number, bowRad: number): TubeResponse {
  const cos = Math.cos(bowRad);
  const sin = Math.sin(bowRad);
  const at =
    bowMm === 0
      ? (across: number, up: number, distanceMm: number) =>
          straightSight(tube, Math.hypot(across, up), distanceMm)
      : (across: number, up: number, distanceMm: number) =>
          bowedSight(tube, bowMm, across * cos + up * sin, up * cos - across * sin, distanceMm);
  const reach = tube.boreMm / tube.lengthMm;
  return { at, ...summarise((across, up) => at(across, up, Infinity), reach) };
}
