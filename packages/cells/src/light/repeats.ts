import { madScale, median } from '@twolamp/numeric';
import type { CellLight } from '../cell-light.js';

const LEAST_CELLS = 30;
const SEEN_SIGMAS = 5;

/**
 * Mean of repeats, cell by cell. Their scatter says whether the stated uncertainties are true: where it is larger, they
 * grow with it. A repeat that is brighter or darker as a whole is no scatter of the cells.
 *
 * @param lights - one or more, N cells each, in the same unit
 */
export function averageLights(lights: readonly CellLight[]): CellLight {
  const first = lights[0];
  if (lights.length === 1) return first;
  const count = first.flux.length;
  const flux = new Float64Array(count);
  const sigma = new Float64Array(count);
  const clipped = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    for (const light of lights) {
      flux[k] += light.flux[k] / lights.length;
      sigma[k] += (light.sigma[k] / lights.length) ** 2;
      clipped[k] |= light.clipped[k];
    }
    sigma[k] = Math.sqrt(sigma[k]);
  }
  const departures = lights.flatMap((light) => {
    const level = levelOf(light, flux);
    return Array.from(light.flux, (value, k) => (value - level * flux[k]) / light.sigma[k]).filter(
      Number.isFinite,
    );
  });
  // About their own mean, n repeats scatter by √(1 − 1/n) of their uncertainty.
  const factor =
    departures.length < LEAST_CELLS ? 1 : madScale(departures, 0) / Math.sqrt(1 - 1 / lights.length);
  return { flux, sigma: sigma.map((value) => value * Math.max(1, factor)), clipped };
}

/** Brightness of a repeat as a whole against the mean, by the cells that show light; 1 where too few do. */
function levelOf(light: CellLight, mean: Float64Array): number {
  const ratios = Array.from(light.flux, (value, k) => value / mean[k]).filter(
    (_, k) => mean[k] > SEEN_SIGMAS * light.sigma[k],
  );
  return ratios.length < LEAST_CELLS ? 1 : median(ratios);
}
