/** A figure with the ends of its interval; an end that isn't known is infinitely far. */
export interface Bounded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Interval of later − earlier, from the figures' own intervals of the same confidence, which need not be symmetric.
 *
 * @param correlation - of the two figures' errors
 * Source: Zou & Donner, Stat. Med. 27 (2008) 1693–1702 ("method of variance estimates recovery").
 */
export function differenceInterval(
  earlier: Bounded,
  later: Bounded,
  correlation: number,
): { low: number; high: number } {
  const difference = later.value - earlier.value;
  const together = (one: number, other: number) =>
    Number.isFinite(one + other)
      ? Math.sqrt(one ** 2 + other ** 2 - 2 * correlation * one * other)
      : Number.POSITIVE_INFINITY;
  return {
    low: difference - together(later.value - later.low, earlier.high - earlier.value),
    high: difference + together(later.high - later.value, earlier.value - earlier.low),
  };
}
