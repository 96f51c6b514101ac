import type { ModelError } from './model-error.js';
import type { Sweep } from './sweep.js';
import { CLEARLY_LIT_SIGMAS } from './tuning.js';

/** One tube's readings under K lamps, with their standard deviations. */
export interface TubeData {
  readonly across: Float64Array;
  readonly up: Float64Array;
  readonly response: Float64Array;
  /** Standard deviation of each reading, noise and model error together. */
  readonly sigma: Float64Array;
  /** 1: the reading is a lower bound. */
  readonly clipped: Uint8Array;
  /** Integral of the acceptance over both slopes as even light shows it; null = not known. */
  readonly evenLight: EvenLight | null;
}

export interface EvenLight {
  readonly light: number;
  /** Standard uncertainty, a share of `light`. */
  readonly share: number;
}

/** Lamps that must clearly light a tube before its direction and width can be fitted: they are three unknowns. */
export const LEAST_CLEAR = 3;

/**
 * A tube's part of a sweep, with noise and model error in its standard deviations.
 *
 * @param evenLight - of its acceptance; null = not known
 * @returns views of the sweep's arrays, but standard deviations of its own
 */
export function tubeData(
  sweep: Sweep,
  tube: number,
  modelError: ModelError,
  evenLight: EvenLight | null,
): TubeData {
  const from = tube * sweep.lamps;
  const to = from + sweep.lamps;
  const response = sweep.response.subarray(from, to);
  const sigma = sweep.sigma.slice(from, to);
  for (let k = 0; k < sigma.length; k++) {
    sigma[k] = Math.sqrt(
      sigma[k] ** 2 + (modelError.share * Math.max(0, response[k])) ** 2 + modelError.floor ** 2,
    );
  }
  return {
    across: sweep.across.subarray(from, to),
    up: sweep.up.subarray(from, to),
    response,
    sigma,
    clipped: sweep.clipped.subarray(from, to),
    evenLight,
  };
}

export function brightestReading(response: Float64Array): number {
  return response.reduce((most, light) => Math.max(most, light), 0);
}

/** How many lamps clearly light each tube, and its brightest clear reading (0 = none): N values each. */
export function clearReadings(sweep: Sweep): { count: Uint16Array; brightest: Float64Array } {
  const count = new Uint16Array(sweep.tubes);
  const most = new Float64Array(sweep.tubes);
  sweep.response.forEach((light, at) => {
    if (!(light > CLEARLY_LIT_SIGMAS * sweep.sigma[at])) return;
    const tube = Math.floor(at / sweep.lamps);
    count[tube]++;
    most[tube] = Math.max(most[tube], light);
  });
  return { count, brightest: most };
}

/** Whether one reading is clearly light. */
export function isClear(sweep: Sweep, at: number): boolean {
  return sweep.response[at] > CLEARLY_LIT_SIGMAS * sweep.sigma[at];
}
