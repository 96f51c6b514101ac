import type { LitShot } from '@twolamp/flux';
import type { PackedPlace } from '@twolamp/optics';
import type { LampShot } from '@twolamp/session';
import { LEAST_LAMPS, LIT_SHARE, TURN_SIGMAS } from './tuning.js';

/** Places of packed tubes in the bench's co-ordinates, and by how much the photo shows them turned, counter-clockwise. */
export interface UprightPlaces {
  readonly places: readonly PackedPlace[];
  /** 0 where the lamps don't show a turn. */
  readonly turnedDeg: number;
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * Turns the places of packed tubes so that across and up are those of the lamps. Rows tell where up is; packed tubes have
 * none, and the camera may have been held aslant. A lamp's light moves over the sheet as the lamp moves, and so the sweep
 * shows the turn.
 *
 * @param places - as the photo shows them
 * @param lamps - the sweep; without enough lamps the photo counts as upright
 */
export function uprightPlaces(
  places: readonly PackedPlace[],
  lamps: readonly LitShot<LampShot>[],
): UprightPlaces {
  const upright = { places, turnedDeg: 0 };
  if (lamps.length < LEAST_LAMPS) return upright;
  const seen = centred(lamps.map(({ light: { flux } }) => middleOfLight(places, flux)));
  const stated = centred(
    lamps.map(({ shot: { acrossMm, upMm, distanceMm } }) => ({
      x: acrossMm / distanceMm,
      y: upMm / distanceMm,
    })),
  );
  let [dot, cross, square] = [0, 0, 0];
  stated.forEach(({ x, y }, n) => {
    dot += x * seen[n].x + y * seen[n].y;
    cross += x * seen[n].y - y * seen[n].x;
    square += x * x + y * y;
  });
  const turn = Math.atan2(cross, dot);
  const scale = Math.hypot(dot, cross) / square;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const left = stated.map(({ x, y }, n) =>
    Math.hypot(seen[n].x - scale * (c * x - s * y), seen[n].y - scale * (s * x + c * y)),
  );
  const scatter = Math.hypot(...left) / Math.sqrt(2 * lamps.length - 4);
  const uncertainty = scatter / (scale * Math.sqrt(square));
  if (!(Math.abs(turn) > TURN_SIGMAS * uncertainty)) return upright;
  return {
    places: places.map(({ acrossMm, upMm }) => ({
      acrossMm: c * acrossMm + s * upMm,
      upMm: c * upMm - s * acrossMm,
    })),
    turnedDeg: (turn * 180) / Math.PI,
  };
}

/** Middle of the light of the tubes that are lit well. */
function middleOfLight(places: readonly PackedPlace[], flux: Float64Array): Point {
  const least = LIT_SHARE * flux.reduce((most, light) => Math.max(most, light), 0);
  let [sum, x, y] = [0, 0, 0];
  places.forEach(({ acrossMm, upMm }, k) => {
    if (!(flux[k] > least)) return;
    sum += flux[k];
    x += flux[k] * acrossMm;
    y += flux[k] * upMm;
  });
  return sum > 0 ? { x: x / sum, y: y / sum } : { x: 0, y: 0 };
}

function centred(points: readonly Point[]): Point[] {
  const mean = (of: (point: Point) => number) =>
    points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [mx, my] = [mean(({ x }) => x), mean(({ y }) => y)];
  return points.map(({ x, y }) => ({ x: x - mx, y: y - my }));
}
