import type { TubePointing } from '../pointing/measure-pointing.js';
import {
  type AcceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  evaluateShape,
  HEIGHT,
  lightOfShape,
  SHAPE_SIZE,
} from '../pointing/tube-shape.js';

const HALF_STEPS = 24;
/** How far around the due direction light is summed, in radii at half maximum. */
const REACH = 4;

/**
 * Share of a typical tube's light that a tube brings from where it should look: ∫ min(own, typical) ÷ ∫ typical over
 * all directions, both acceptances in the same unit.
 *
 * @param look - of the tube, its error known
 * @param relative - the tube's relative transmission
 * @param farther - by how much farther aside than measured it is taken to look, a slope
 * @returns 0 to 1
 */
export function dueLight(
  acceptance: AcceptanceProfile,
  look: TubePointing,
  relative: number,
  farther = 0,
): number {
  const { shape, error } = look;
  const fieldAcross = shape[CENTRE_ACROSS]! - error!.across;
  const fieldUp = shape[CENTRE_UP]! - error!.up;
  const typical = new Float64Array(SHAPE_SIZE);
  typical[HEIGHT] = 1;
  typical[CENTRE_ACROSS] = fieldAcross;
  typical[CENTRE_UP] = fieldUp;
  const own = Float64Array.from(shape);
  const aside = Math.hypot(error!.across, error!.up);
  own[CENTRE_ACROSS]! += (farther * error!.across) / aside;
  own[CENTRE_UP]! += (farther * error!.up) / aside;
  own[HEIGHT] = 1;
  own[HEIGHT] = (relative * lightOfShape(acceptance, typical)) / lightOfShape(acceptance, own);
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
