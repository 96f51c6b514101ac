import type { CellLight } from '../cell-light.js';
import { madScale } from '../statistics/robust.js';

const LEAST_CELLS = 30;

/**
 * Mean of repeats, cell by cell. Their scatter says whether the stated uncertainties are true: where it is larger, they
 * grow with it.
 *
 * @param lights - one or more, N cells each, in the same unit
 */
export function averageLights(lights: readonly CellLight[]): CellLight {
  const first = lights[0]!;
  if (lights.length === 1) return first;
  const count = first.flux.length;
  const flux = new Float64Array(count);
  const sigma = new Float64Array(count);
  const clipped = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    for (const light of lights) {
      flux[k]! += light.flux[k]! / lights.length;
      sigma[k]! += (light.sigma[k]! / lights.length) ** 2;
      clipped[k]! |= light.clipped[k]!;
    }
    sigma[k] = Math.sqrt(sigma[k]!);
  }
  const departures = lights.flatMap((light) =>
    Array.from(light.flux, (value, k) => (value - flux[k]!) / light.sigma[k]!).filter(Number.isFinite),
  );
  // About their own mean, n repeats scatter by √(1 − 1/n) of their uncertainty.
  const factor =
    departures.length < LEAST_CELLS ? 1 : madScale(departures, 0) / Math.sqrt(1 - 1 / lights.length);
  return { flux, sigma: sigma.map((value) => value * Math.max(1, factor)), clipped };
}
