import type { Place, Slopes } from '@twolamp/optics';
import type { Plan } from '../plan/plan-format.js';
import { STREAM, sessionRandom } from '../streams.js';
import { cellsExtentMm } from './extent.js';

/** Illuminance of even light at a place of the front face or the bare sheet, lx. */
export type EvenLight = (place: Place) => number;

/**
 * Light from an overcast sky or a wall: nearly even, a little more on one side and in the middle.
 * The plan's unevenness is its range over the front face.
 */
export function evenLight(plan: Plan): EvenLight {
  const random = sessionRandom(plan, STREAM.unevenness);
  const { array, light } = plan;
  const angle = 2 * Math.PI * random.uniform();
  const { across, up } = cellsExtentMm(array);
  const pitches =
    array.arrangement === 'packed'
      ? Math.hypot(across, up) / array.backPitchMm
      : Math.hypot(array.columns, array.rows);
  const radiusMm = 0.5 * array.frontPitchMm * pitches;
  return ({ acrossMm, upMm }) => {
    const x = acrossMm / radiusMm;
    const y = upMm / radiusMm;
    const slanted = 0.7 * (x * Math.cos(angle) + y * Math.sin(angle));
    const domed = -0.6 * (x * x + y * y);
    return light['even-lux'] * (1 + 0.5 * light.unevenness * (slanted + domed));
  };
}

/**
 * What even light loses on a slanted tube with its ends cut parallel to the faces: both ends are seen foreshortened
 * and farther apart, cos⁴ in all.
 *
 * @param aim - where the tube looks
 */
export function slantLoss(aim: Slopes): number {
  return 1 / (1 + aim.across ** 2 + aim.up ** 2) ** 2;
}
