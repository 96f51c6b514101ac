import type { ModelError } from './model-error.js';
import type { Sweep } from './sweep.js';
import { CLEARLY_LIT_SIGMAS } from './tuning.js';

/** One tube's answers to K lamps, and how far each may be off. */
export interface TubeData {
  readonly across: Float64Array;
  readonly up: Float64Array;
  readonly response: Float64Array;
  /** Standard deviation of each answer, noise and the model's own error together. */
  readonly sigma: Float64Array;
  /** 1: the answer is a lower bound. */
  readonly clipped: Uint8Array;
  /** Integral of the acceptance over both slopes as even light shows it; null = not known. */
  readonly evenLight: EvenLight | null;
}

export interface EvenLight {
  readonly light: number;
  /** Standard uncertainty, a share of `light`. */
  readonly share: number;
}

/** Lamps that must clearly light a tube before it says where and how wide it looks. */
export const LEAST_CLEAR = 3;

/**
 * A tube's part of a sweep, weighed by noise and model error together.
 *
 * @param evenLight - of its acceptance; null = not known
 * @returns views on the sweep's answers, and deviations of its own
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

export function brightestAnswer(response: Float64Array): number {
  return response.reduce((most, light) => Math.max(most, light), 0);
}

/** How many lamps clearly light each tube, and its brightest clear answer (0 = none): N values each. */
export function clearAnswers(sweep: Sweep): { count: Uint16Array; brightest: Float64Array } {
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

/** Whether one answer is clearly light. */
export function isClear(sweep: Sweep, at: number): boolean {
  return sweep.response[at] > CLEARLY_LIT_SIGMAS * sweep.sigma[at];
}
