/**
 * Full width at half maximum of a sampled curve: from the highest sample outwards to the first fall below half of it
 * on either side, straight between the samples.
 *
 * @param places - rising
 * @param values - same length
 * @returns the two places; an end of the curve where it does not fall that far
 */
export function halfMaximum(places: Float64Array, values: Float64Array): { low: number; high: number } {
  const peak = values.indexOf(Math.max(...values));
  const half = values[peak] / 2;
  return { low: crossing(places, values, peak, -1, half), high: crossing(places, values, peak, 1, half) };
}

function crossing(
  places: Float64Array,
  values: Float64Array,
  peak: number,
  step: number,
  half: number,
): number {
  let i = peak;
  while (values[i + step] >= half) i += step;
  const next = i + step;
  if (next < 0 || next >= places.length) return places[i];
  return places[i] + ((places[next] - places[i]) * (values[i] - half)) / (values[i] - values[next]);
}
