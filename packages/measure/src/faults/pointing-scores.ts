import type { TubePointing } from '../pointing/measure-pointing.js';
import { benjaminiHochberg, madScale, median } from '@twolamp/numeric';
import { FALSE_DISCOVERY_RATE } from '../tuning.js';
import { LEAST_WIDTH_SCATTER } from '../pointing/tuning.js';

/** Each tube's direction and width compared with those of all tubes; N values. */
export interface PointingScores {
  /** 1 where the direction is significantly off the neighbours' field. */
  readonly aside: Uint8Array;
  /** By how many standard deviations the tube sees wider than typical; NaN where that isn't known. */
  readonly wider: Float64Array;
}

/**
 * Robust scores of directions and widths. The null hypothesis is the array's own scatter.
 *
 * @param tubes - N in reading order, null = no pointing
 */
export function scorePointing(tubes: readonly (TubePointing | null)[]): PointingScores {
  const unsure = median(tubes.map((tube) => tube?.uncertaintyDeg ?? Number.NaN));
  const offsets = tubes.flatMap((tube) => (tube?.error ? [tube.error.acrossDeg, tube.error.upDeg] : []));
  const scatter = madScale(offsets, 0);
  // Intrinsic variance of the tubes, without that of their measurement; each tube's own is added again.
  const own2 = Math.max(0, scatter ** 2 - unsure ** 2);
  const p = tubes.map((tube) => {
    if (!tube?.error) return Number.NaN;
    const variance = own2 + tube.uncertaintyDeg ** 2;
    // Two equal normal errors: the square of the offset is exponential (Rayleigh's distribution).
    return Math.exp(-(tube.error.totalDeg ** 2) / (2 * variance));
  });
  const widening = tubes.map((tube) => tube?.widening.value ?? Number.NaN);
  const typicalWidening = median(widening);
  const wideningScatter = madScale(widening);
  return {
    aside: benjaminiHochberg(p, FALSE_DISCOVERY_RATE).found,
    wider: Float64Array.from(
      tubes,
      (tube) =>
        ((tube?.widening.value ?? Number.NaN) - typicalWidening) /
        Math.hypot(wideningScatter, tube?.widening.sigma ?? Number.NaN, LEAST_WIDTH_SCATTER),
    ),
  };
}
