import type { CellResult } from '@twolamp/session';
import { madScale, MEDIAN_OVER_MEAN, median } from '@twolamp/numeric';
import { LEAST_HEALTHY, REPEATABILITY } from './tuning.js';

/** A session's typical absolute transmission, with relative standard uncertainties. */
export interface AbsoluteLevel {
  readonly typical: number;
  /** Stated for a tube: nearly all of it is shared by all tubes, since it comes from the bore's area, the halo and the bare shot. */
  readonly stated: number;
  /** What the tubes' scatter leaves uncertain about the typical one. */
  readonly sampling: number;
}

export function isKnown(value: number | null, uncertainty: number | null): boolean {
  return value !== null && uncertainty !== null && uncertainty > 0;
}

/**
 * Absolute transmission of a session's healthy tubes as a whole.
 *
 * @param healthy - the tubes to go by
 * @returns null where fewer than {@link LEAST_HEALTHY} of them have an absolute transmission
 */
export function absoluteLevel(healthy: readonly CellResult[]): AbsoluteLevel | null {
  const known = healthy
    .map((cell) => cell.transmission)
    .filter((t) => isKnown(t.absolute, t.absoluteUncertainty) && t.absolute! > 0);
  if (known.length < LEAST_HEALTHY) return null;
  const values = known.map((t) => t.absolute!);
  const typical = median(values);
  return {
    typical,
    stated: median(known.map((t) => t.absoluteUncertainty! / t.absolute!)),
    sampling: (MEDIAN_OVER_MEAN * madScale(values)) / Math.sqrt(values.length) / typical,
  };
}

/**
 * Relative standard uncertainty of a ratio of two sessions' absolute transmissions that all tubes share.
 *
 * @param sameBore - both sessions look at the same array: what is uncertain about its bore and pitch drops out of the
 *   ratio, and the level's repeatability remains
 */
export function ratioUncertainty(earlier: AbsoluteLevel, later: AbsoluteLevel, sameBore: boolean): number {
  const repeated = Math.SQRT2 * REPEATABILITY;
  return sameBore ? repeated : Math.hypot(repeated, earlier.stated, later.stated);
}
