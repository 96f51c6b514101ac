import type { Plane } from '@twolamp/session';

/** Standard deviations at which a Gaussian is cut off: 3e-4 of its height is left there. */
const CUT_OFF_SIGMAS = 4;

/** A Gaussian's weights at 0, 1, 2, … pixels from its middle; their sum over both sides is 1. */
function weightsOf(sigmaPx: number): Float64Array {
  const weights = new Float64Array(Math.round(CUT_OFF_SIGMAS * sigmaPx) + 1);
  let sum = 0;
  for (let n = 0; n < weights.length; n++) {
    weights[n] = Math.exp(-(n * n) / (2 * sigmaPx * sigmaPx));
    sum += n === 0 ? weights[n] : 2 * weights[n];
  }
  return weights.map((weight) => weight / sum);
}

/**
 * Gaussian blur, first along the rows, then along the columns; beyond the rim the outermost pixels repeat.
 *
 * @param plane - H × W
 * @param sigmaPx - standard deviation in pixels, above 0
 */
export function blur(plane: Plane, sigmaPx: number): Plane {
  const { width, height } = plane;
  const weights = weightsOf(sigmaPx);
  const along = new Float32Array(plane.data.length);
  blurRows(plane, weights, along);
  const data = new Float32Array(plane.data.length);
  blurColumns({ width, height, data: along }, weights, data);
  return { width, height, data };
}

function blurRows({ width, height, data }: Plane, weights: Float64Array, into: Float32Array): void {
  const reach = weights.length - 1;
  // A row with its ends repeated.
  const long = new Float64Array(width + 2 * reach);
  for (let y = 0; y < height; y++) {
    const from = y * width;
    for (let x = 0; x < width; x++) long[reach + x] = data[from + x];
    long.fill(data[from], 0, reach);
    long.fill(data[from + width - 1], reach + width);
    for (let x = 0; x < width; x++) {
      const at = reach + x;
      let sum = weights[0] * long[at];
      for (let n = 1; n <= reach; n++) sum += weights[n] * (long[at - n] + long[at + n]);
      into[from + x] = sum;
    }
  }
}

function blurColumns({ width, height, data }: Plane, weights: Float64Array, into: Float32Array): void {
  const row = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    const own = y * width;
    for (let x = 0; x < width; x++) row[x] = weights[0] * data[own + x];
    for (let n = 1; n < weights.length; n++) {
      addRows(data, Math.max(0, y - n) * width, Math.min(height - 1, y + n) * width, weights[n], row);
    }
    into.set(row, own);
  }
}

function addRows(data: Float32Array, above: number, below: number, weight: number, into: Float64Array): void {
  for (let x = 0; x < into.length; x++) into[x] += weight * (data[above + x] + data[below + x]);
}
