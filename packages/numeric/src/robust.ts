/** Makes the median absolute deviation the standard deviation of normal values: 1/Φ⁻¹(3/4). */
export const MAD_TO_SIGMA = 1.482602218505602;
/** Standard uncertainty of a median over that of a mean of normal values. */
export const MEDIAN_OVER_MEAN = Math.sqrt(Math.PI / 2);

const BIWEIGHT_LOCATION_MADS = 6;
const BIWEIGHT_SCALE_MADS = 9;

function finite(values: ArrayLike<number>): Float64Array {
  const known = new Float64Array(values.length);
  let count = 0;
  for (let n = 0; n < values.length; n++) if (Number.isFinite(values[n])) known[count++] = values[n];
  return known.subarray(0, count);
}

/** Changes the values' order. */
function medianOf(known: Float64Array): number {
  const { length } = known;
  if (length === 0) return Number.NaN;
  const middle = length >> 1;
  const upper = selectSmallest(known, middle);
  if (length % 2 === 1) return upper;
  let lower = known[0];
  for (let n = 1; n < middle; n++) if (known[n] > lower) lower = known[n];
  return (lower + upper) / 2;
}

/**
 * The value that sorting would put at an index. Afterwards, none before that index is larger, none behind it smaller.
 *
 * @param values - without NaN; their order is changed
 * @param index - within `values`
 * Source: Hoare, Algorithm 65: Find, Comm. ACM 4 (1961) 321.
 */
export function selectSmallest(values: Float64Array, index: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = middleOf(values[low], values[(low + high) >> 1], values[high]);
    let left = low;
    let right = high;
    while (left <= right) {
      while (values[left] < pivot) left++;
      while (values[right] > pivot) right--;
      if (left > right) break;
      const swapped = values[left];
      values[left++] = values[right];
      values[right--] = swapped;
    }
    if (index <= right) high = right;
    else if (index >= left) low = left;
    else break;
  }
  return values[index];
}

function middleOf(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
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
