import { discPoints } from '@twolamp/optics';
import type { Tube } from '../array/tubes.js';
import type { TubeResponse } from '../response/tube-response.js';

/** A small round lamp that faces the array; places from the middle of the front face. */
export interface Lamp {
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
  readonly diameterMm: number;
  readonly candela: number;
}

const DISC = discPoints(32);
const POINT = [{ x: 0, y: 0 }];

/** The front end of one tube, and where it looks. */
export type Aim = Pick<Tube, 'front' | 'chord'>;

/**
 * Light of a lamp that passes one tube, lx·mm² (illuminance × area).
 *
 * The lamp shines alike in all directions towards the array; distance squared and the slant of the front face are
 * taken in.
 *
 * @param boreMm - of the tube, or width of the empty hole
 */
export function lampLight(lamp: Lamp, aim: Aim, response: TubeResponse, boreMm: number): number {
  const points = lamp.diameterMm > 0 ? DISC : POINT;
  let sum = 0;
  for (const point of points) {
    const across = (lamp.acrossMm + (point.x * lamp.diameterMm) / 2 - aim.front.acrossMm) / lamp.distanceMm;
    const up = (lamp.upMm + (point.y * lamp.diameterMm) / 2 - aim.front.upMm) / lamp.distanceMm;
    const cos2 = 1 / (1 + across * across + up * up);
    sum +=
      response.at(across - aim.chord.across, up - aim.chord.up, lamp.distanceMm) * cos2 * Math.sqrt(cos2);
  }
  const luxStraightAhead = lamp.candela / (lamp.distanceMm / 1000) ** 2;
  return ((luxStraightAhead * sum) / points.length) * Math.PI * (boreMm / 2) ** 2;
}
