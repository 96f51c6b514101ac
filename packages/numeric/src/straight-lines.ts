/**
 * A table read by straight lines between its values, level beyond its ends.
 *
 * @param values - two or more, at even steps
 * @param place - in steps from the first value
 */
export function readTable(values: Float64Array, place: number): number {
  const last = values.length - 1;
  const within = Math.min(last, Math.max(0, place));
  const before = Math.min(last - 1, Math.floor(within));
  return values[before] + (within - before) * (values[before + 1] - values[before]);
}

/**
 * Straight lines between values at uneven places, level beyond the ends.
 *
 * @param places - one or more, rising
 * @param values - as many
 */
export function readBetween(places: readonly number[], values: readonly number[], at: number): number {
  const next = places.findIndex((place) => place >= at);
  if (next < 0) return values.at(-1)!;
  if (next === 0) return values[0];
  const part = (at - places[next - 1]) / (places[next] - places[next - 1]);
  return values[next - 1] + part * (values[next] - values[next - 1]);
}
