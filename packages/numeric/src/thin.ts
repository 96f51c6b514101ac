const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * At most so many of the items, evenly spread over their order; all where there are no more. From each stretch of them it takes
 * one by the golden ratio: an even step would fall into step with the rows of an array and take a few of its columns only.
 */
export function thin<T>(items: readonly T[], most: number): T[] {
  const step = items.length / most;
  if (step <= 1) return [...items];
  return Array.from({ length: most }, (_, n) => items[Math.floor((n + ((n * GOLDEN) % 1)) * step)]);
}
