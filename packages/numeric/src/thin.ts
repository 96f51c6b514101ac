/** At most so many of the items, evenly spread over their order; all where there are no more. */
export function thin<T>(items: readonly T[], most: number): T[] {
  const every = Math.max(1, items.length / most);
  return items.filter((_, i) => Math.floor(i / every) !== Math.floor((i - 1) / every));
}
