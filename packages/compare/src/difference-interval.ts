/** A figure with the ends of its interval; an end that isn't known is infinitely far. */
export interface Bounded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Interval of later − earlier for two independent figures, from their own intervals of the same confidence, which need not be
 * symmetric.
 *
 * Source: Zou & Donner, Stat. Med. 27 (2008) 1693–1702 ("method of variance estimates recovery").
 */
export function differenceInterval(earlier: Bounded, later: Bounded): { low: number; high: number } {
  const difference = later.value - earlier.value;
  return {
    low: difference - Math.hypot(later.value - later.low, earlier.high - earlier.value),
    high: difference + Math.hypot(later.high - later.value, earlier.value - earlier.low),
  };
}
