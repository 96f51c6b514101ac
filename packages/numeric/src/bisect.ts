/**
 * Bisection: narrows an interval around the place where a condition changes.
 *
 * @param isBelow - true below that place, false above
 * @param low - where it is taken to be true
 * @param high - where it is taken to be false
 * @param halvings - how often the interval is halved
 * @returns both ends of what is left of the interval
 */
export function bisect(
  isBelow: (place: number) => boolean,
  low: number,
  high: number,
  halvings: number,
): { readonly low: number; readonly high: number } {
  for (let n = 0; n < halvings; n++) {
    const middle = (low + high) / 2;
    if (isBelow(middle)) low = middle;
    else high = middle;
  }
  return { low, high };
}
