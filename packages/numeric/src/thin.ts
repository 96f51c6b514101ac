const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * At most so many of the items, evenly spread over their order; all where there are no more. From each stretch of them it takes
 * one by the golden ratio: an even step would fall into step with the rows of an array and take a few of its columns only.
 */
export function thin<T>(items: readonly T[], most: number): T[] {
  if (items.length <= most) return [...items];
  const startOf = (n: number): number => Math.ceil((n * items.length) / most);
  return Array.from({ length: most }, (_, n) => {
    const within = (n * GOLDEN) % 1;
    return items[startOf(n) + Math.floor(within * (startOf(n + 1) - startOf(n)))];
  });
}
