import type { TubePointing } from '../pointing/measure-pointing.js';
import {
  type AcceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  evaluateShape,
  SHAPE_SIZE,
  shapeOfLight,
  roundShape,
} from '../pointing/tube-shape.js';

const HALF_STEPS = 24;
/** Reach of the sum around the nominal direction, in radii at half maximum: acceptances end within it. */
const REACH = 4;

/**
 * Useful share of a tube's light: overlap of its acceptance with that of a typical tube in its place, ∫ min(own, typical) ÷
 * ∫ typical over all directions.
 *
 * @param look - of the tube, its error known
 * @param relative - the tube's relative transmission
 * @param farther - added to its measured offset from the field, a slope
 * @returns 0 to 1
 */
export function usefulLight(
  acceptance: AcceptanceProfile,
  look: TubePointing,
  relative: number,
  farther = 0,
): number {
  const { shape, error } = look;
  const fieldAcross = shape[CENTRE_ACROSS] - error!.across;
  const fieldUp = shape[CENTRE_UP] - error!.up;
  const typical = roundShape(1, fieldAcross, fieldUp);
  const moved = Float64Array.from(shape);
  const aside = Math.hypot(error!.across, error!.up);
  moved[CENTRE_ACROSS] += (farther * error!.across) / aside;
  moved[CENTRE_UP] += (farther * error!.up) / aside;
  const own = shapeOfLight(acceptance, moved, typical, relative);
  const gradient = new Float64Array(SHAPE_SIZE);
  const step = (REACH * acceptance.halfRadius) / HALF_STEPS;
  let due = 0;
  let all = 0;
  for (let i = -HALF_STEPS; i <= HALF_STEPS; i++) {
    for (let j = -HALF_STEPS; j <= HALF_STEPS; j++) {
      const across = fieldAcross + i * step;
      const up = fieldUp + j * step;
      const wanted = evaluateShape(acceptance.profile, typical, across, up, gradient);
      due += Math.min(wanted, evaluateShape(acceptance.profile, own, across, up, gradient));
      all += wanted;
    }
  }
  return due / all;
}
