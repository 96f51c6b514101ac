/**
 * Linear interpolation between values at even steps, constant beyond the ends.
 *
 * @param values - two or more
 * @param place - in steps from the first value
 */
export function interpolateEven(values: Float64Array, place: number): number {
  const last = values.length - 1;
  const within = Math.min(last, Math.max(0, place));
  const before = Math.min(last - 1, Math.floor(within));
  return values[before] + (within - before) * (values[before + 1] - values[before]);
}

/**
 * Linear interpolation between values at uneven places, constant beyond the ends.
 *
 * @param places - one or more, rising
 * @param values - as many
 */
export function interpolate(places: readonly number[], values: readonly number[], at: number): number {
  const next = places.findIndex((place) => place >= at);
  if (next < 0) return values[values.length - 1];
  if (next === 0) return values[0];
  const part = (at - places[next - 1]) / (places[next] - places[next - 1]);
  return values[next - 1] + part * (values[next] - values[next - 1]);
}
