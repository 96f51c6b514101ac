import { benjaminiHochberg, madScale, median, normalTail } from '@twolamp/numeric';
import { FALSE_DISCOVERY_RATE } from '../tuning.js';

/** How each tube's light stands against all others'; N values. */
export interface LightScores {
  /** What a usual tube gives, and how much healthy tubes scatter. */
  readonly usual: number;
  readonly scatter: number;
  /** Departure from the usual tube in standard deviations; NaN where the light isn't known. */
  readonly deviation: Float64Array;
  /** 1 where the light is significantly less, or more, than usual. */
  readonly less: Uint8Array;
  readonly more: Uint8Array;
}

/**
 * Robust scores of the tubes' relative transmission. The null is the array's own scatter, so that what a builder's
 * hand leaves in every tube is no fault.
 *
 * @param relative - N values, NaN = unknown
 * @param sigma - their standard uncertainty
 */
export function scoreLight(relative: Float64Array, sigma: Float64Array): LightScores {
  const usual = median(relative);
  const scatter = madScale(relative);
  const deviation = relative.map((value, n) => (value - usual) / Math.hypot(scatter, sigma[n], 1e-9));
  const twoSided = deviation.map((z) => Math.min(1, 2 * normalTail(Math.abs(z))));
  const { found } = benjaminiHochberg(twoSided, FALSE_DISCOVERY_RATE);
  return {
    usual,
    scatter,
    deviation,
    less: found.map((one, n) => (one === 1 && deviation[n] < 0 ? 1 : 0)),
    more: found.map((one, n) => (one === 1 && deviation[n] > 0 ? 1 : 0)),
  };
}
