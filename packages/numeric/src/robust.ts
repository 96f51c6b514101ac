/** Makes the median absolute deviation the standard deviation of normal values: 1/Φ⁻¹(3/4). */
const MAD_TO_SIGMA = 1.482602218505602;

const BIWEIGHT_LOCATION_MADS = 6;
const BIWEIGHT_SCALE_MADS = 9;

function finite(values: ArrayLike<number>): Float64Array {
  const known = new Float64Array(values.length);
  let count = 0;
  for (let n = 0; n < values.length; n++) if (Number.isFinite(values[n])) known[count++] = values[n];
  return known.subarray(0, count);
}

/** Sorts the values. */
function medianOf(known: Float64Array): number {
  known.sort();
  const middle = known.length >> 1;
  if (known.length === 0) return Number.NaN;
  return known.length % 2 === 1 ? known[middle] : (known[middle - 1] + known[middle]) / 2;
}

/** Median of the finite values; NaN where there is none. */
export function median(values: ArrayLike<number>): number {
  return medianOf(finite(values));
}

/**
 * Robust standard deviation of the finite values: median absolute deviation from `centre` × 1.4826.
 *
 * @param centre - where deviations count from; the median by default
 * @returns the scale in the values' unit; NaN where no value is finite
 */
export function madScale(values: ArrayLike<number>, centre: number = median(values)): number {
  const deviations = finite(values);
  for (let n = 0; n < deviations.length; n++) deviations[n] = Math.abs(deviations[n] - centre);
  return MAD_TO_SIGMA * medianOf(deviations);
}

/**
 * Tukey's biweight location of the finite values, cut off at 6 median absolute deviations.
 *
 * @returns the location; the median where the median absolute deviation is 0; NaN where no value is finite
 * Source: Mosteller & Tukey, Data Analysis and Regression, 1977, ch. 10.
 */
export function biweightLocation(values: ArrayLike<number>): number {
  const known = finite(values);
  const centre = median(known);
  const cutoff = (BIWEIGHT_LOCATION_MADS * madScale(known, centre)) / MAD_TO_SIGMA;
  if (!(cutoff > 0)) return centre;
  let top = 0;
  let bottom = 0;
  for (const value of known) {
    const weight = bisquare((value - centre) / cutoff);
    top += (value - centre) * weight;
    bottom += weight;
  }
  return centre + top / bottom;
}

/**
 * Biweight scale (square root of the midvariance) of the finite values, cut off at 9 median absolute deviations.
 *
 * @returns the scale in the values' unit; 0 where the median absolute deviation is 0; NaN where no value is finite
 * Source: Mosteller & Tukey, Data Analysis and Regression, 1977, ch. 10.
 */
export function biweightScale(values: ArrayLike<number>): number {
  const known = finite(values);
  const centre = median(known);
  const cutoff = (BIWEIGHT_SCALE_MADS * madScale(known, centre)) / MAD_TO_SIGMA;
  if (!(cutoff > 0)) return cutoff;
  let top = 0;
  let bottom = 0;
  for (const value of known) {
    const u2 = ((value - centre) / cutoff) ** 2;
    if (u2 >= 1) continue;
    top += (value - centre) ** 2 * (1 - u2) ** 4;
    bottom += (1 - u2) * (1 - 5 * u2);
  }
  return Math.sqrt(known.length * top) / Math.abs(bottom);
}

/** Tukey's bisquare weight (1 − u²)², 0 from |u| = 1 on. */
export function bisquare(u: number): number {
  return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
}
