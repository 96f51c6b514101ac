/** σ of the window over its radius: 1.5 for the 11 × 11 window of the source. */
const SIGMA_PER_RADIUS = 0.3;
const LARGEST_RADIUS = 5;
const K1 = 0.01;
const K2 = 0.03;

/** Structural similarity around each place where a whole window fits: radius away from the edges. */
export interface SimilarityMap {
  readonly radius: number;
  /** Width and height of `values`: 2·radius less than the grids'. */
  readonly width: number;
  readonly height: number;
  /** Row-major; 1 = alike. */
  readonly values: Float64Array;
}

/**
 * Structural similarity (SSIM) of two grids, place by place, with a Gaussian window of 11 × 11 and σ = 1.5; on grids
 * with fewer rows or columns the window shrinks as a whole.
 *
 * @param a - H × W, row-major
 * @param b - likewise
 * @param range - of the values, from darkest to brightest that there can be; above 0
 * @throws RangeError where a grid has other than width × height values, or fewer than 3 rows or columns
 *
 * Source: Wang, Bovik, Sheikh & Simoncelli, IEEE Trans. Image Process. 13:600 (2004), equations 13 to 16.
 */
export function similarityMap(
  a: Float64Array,
  b: Float64Array,
  width: number,
  height: number,
  range: number,
): SimilarityMap {
  if (a.length !== width * height || b.length !== width * height) {
    throw new RangeError(`a and b must have ${width * height} values, got ${a.length} and ${b.length}`);
  }
  if (!(Math.min(width, height) >= 3)) {
    throw new RangeError(`width and height must be 3 or more, got ${width} and ${height}`);
  }
  if (!(range > 0)) throw new RangeError(`range must be above 0, got ${range}`);
  const radius = Math.min(LARGEST_RADIUS, Math.floor((Math.min(width, height) - 1) / 2));
  const mean = (values: Float64Array) => windowMean(values, width, height, radius);
  const times = (left: Float64Array, right: Float64Array) => left.map((value, i) => value * right[i]);
  const [meanA, meanB] = [mean(a), mean(b)];
  const [squareA, squareB, product] = [mean(times(a, a)), mean(times(b, b)), mean(times(a, b))];
  const c1 = (K1 * range) ** 2;
  const c2 = (K2 * range) ** 2;
  const values = meanA.map((muA, i) => {
    const muB = meanB[i];
    const variances = squareA[i] - muA * muA + squareB[i] - muB * muB;
    const covariance = product[i] - muA * muB;
    return ((2 * muA * muB + c1) * (2 * covariance + c2)) / ((muA * muA + muB * muB + c1) * (variances + c2));
  });
  return { radius, width: width - 2 * radius, height: height - 2 * radius, values };
}

/** Gaussian-weighted mean at each place where the whole window fits. */
function windowMean(values: Float64Array, width: number, height: number, radius: number): Float64Array {
  const sigma = SIGMA_PER_RADIUS * radius;
  const taps = Float64Array.from({ length: 2 * radius + 1 }, (_, i) =>
    Math.exp(-((i - radius) ** 2) / (2 * sigma * sigma)),
  );
  const sum = taps.reduce((all, tap) => all + tap, 0);
  /** Of places `apart` one from the next, beginning at `first`. */
  const weighted = (from: Float64Array, first: number, apart: number): number =>
    taps.reduce((all, tap, i) => all + (tap / sum) * from[first + i * apart], 0);
  const narrow = width - 2 * radius;
  const rows = Float64Array.from({ length: narrow * height }, (_, i) =>
    weighted(values, Math.floor(i / narrow) * width + (i % narrow), 1),
  );
  return Float64Array.from({ length: narrow * (height - 2 * radius) }, (_, i) => weighted(rows, i, narrow));
}
