/**
 * The order in which photos were taken; as they are given where two have the same time.
 *
 * @param times - of the photos, as EXIF has them (`2025-01-31T18:05:09`); null where one has none
 * @returns places in `times`, the first photo's first; null where a time is missing
 */
export function orderTaken(times: readonly (string | null)[]): number[] | null {
  if (times.includes(null)) return null;
  return [...times.keys()].sort((a, b) => times[a]!.localeCompare(times[b]!) || a - b);
}
