import { benjaminiHochberg, madScale, median, normalTail } from '@twolamp/numeric';
import { FALSE_DISCOVERY_RATE } from '../tuning.js';

/** Each tube's light compared with that of all tubes; N values. */
export interface LightScores {
  /** Median, and robust standard deviation of healthy tubes. */
  readonly typical: number;
  readonly scatter: number;
  /** Departure from the typical tube in standard deviations; NaN where the light is not known. */
  readonly deviation: Float64Array;
  /** 1 where the light is significantly less, or more, than typical. */
  readonly less: Uint8Array;
  readonly more: Uint8Array;
}

/**
 * Robust scores of the tubes' relative transmission. The null hypothesis is the array's own scatter, so that ordinary
 * differences among hand-built tubes are no faults.
 *
 * @param relative - N values, NaN = unknown
 * @param sigma - their standard uncertainty
 */
export function scoreLight(relative: Float64Array, sigma: Float64Array): LightScores {
  const typical = median(relative);
  const scatter = madScale(relative);
  const deviation = relative.map((value, n) => (value - typical) / Math.hypot(scatter, sigma[n], 1e-9));
  const twoSided = deviation.map((z) => Math.min(1, 2 * normalTail(Math.abs(z))));
  const { found } = benjaminiHochberg(twoSided, FALSE_DISCOVERY_RATE);
  return {
    typical,
    scatter,
    deviation,
    less: found.map((one, n) => (one === 1 && deviation[n] < 0 ? 1 : 0)),
    more: found.map((one, n) => (one === 1 && deviation[n] > 0 ? 1 : 0)),
  };
}
