import type { Plane } from '@twolamp/session';
import { cv, type Mat } from 'opencv-wasm';
import { EnlargedPlane } from './enlarged-plane.js';
import { reducePlane } from './plane.js';

/** Runs `work` with a way to take matrices; all of them are freed afterwards, since the wasm heap has no collector. */
function withMats<T>(work: (take: (mat?: Mat) => Mat) => T): T {
  const taken: Mat[] = [];
  try {
    return work((mat = new cv.Mat()) => {
      taken.push(mat);
      return mat;
    });
  } finally {
    for (const mat of taken) mat.delete();
  }
}

function matOf(plane: Plane): Mat {
  const mat = new cv.Mat(plane.height, plane.width, cv.CV_32F);
  mat.data32F.set(plane.data);
  return mat;
}

/**
 * Gaussian blur; beyond the rim the outermost pixels repeat.
 *
 * @param plane - H × W
 * @param sigmaPx - standard deviation in pixels, above 0
 */
export function blur(plane: Plane, sigmaPx: number): Plane {
  return withMats((take) => {
    const from = take(matOf(plane));
    const to = take();
    cv.GaussianBlur(from, to, new cv.Size(0, 0), sigmaPx, sigmaPx, cv.BORDER_REPLICATE);
    return { width: plane.width, height: plane.height, data: to.data32F.slice() };
  });
}

/** Pixels a standard deviation that a wide Gaussian needs. */
const WIDE_STEPS = 3;

/**
 * The same for a wide Gaussian, quicker: blurred on a reduced plane and enlarged again, by a Gaussian that is narrower by
 * what both of these blur.
 */
function wideBlur(plane: Plane, sigmaPx: number): Plane {
  const factor = Math.min(Math.floor(sigmaPx / WIDE_STEPS), plane.width, plane.height);
  if (factor <= 1) return blur(plane, sigmaPx);
  // Variances: (k² − 1)/12 of a mean over k pixels, (k² − 1)/6 of a triangle 2k wide.
  const sigma = Math.sqrt(sigmaPx * sigmaPx - (factor * factor - 1) / 4) / factor;
  const large = new EnlargedPlane(blur(reducePlane(plane, factor), sigma), factor, plane.width);
  const data = new Float32Array(plane.data.length);
  for (let y = 0; y < plane.height; y++) data.set(large.row(y), y * plane.width);
  return { ...plane, data };
}

/** Band-pass as the difference of two Gaussian blurs: spots of the size of `fineSigmaPx` stand out, slow trends go. */
export function bandPass(plane: Plane, fineSigmaPx: number, coarseSigmaPx: number): Plane {
  const { data } = blur(plane, fineSigmaPx);
  const coarse = wideBlur(plane, coarseSigmaPx);
  for (let at = 0; at < data.length; at++) data[at] -= coarse.data[at];
  return { ...plane, data };
}

/**
 * Autocorrelation by the Fourier transform (Wiener–Khinchin theorem), zero-padded so that lags up to `reach` don't wrap.
 *
 * @param plane - H × W, its mean taken off by the caller
 * @param reach - largest lag wanted, in pixels
 * @returns at least (H + reach) × (W + reach) values, 1 at lag zero; lag (dx, dy) at column dx, row dy, negative lags
 *   counted from the far end
 */
export function autocorrelation(plane: Plane, reach: number): Plane {
  const width = cv.getOptimalDFTSize(plane.width + reach);
  const height = cv.getOptimalDFTSize(plane.height + reach);
  return withMats((take) => {
    const padded = take(new cv.Mat(height, width, cv.CV_32F));
    const cells = padded.data32F.fill(0);
    for (let y = 0; y < plane.height; y++) {
      cells.set(plane.data.subarray(y * plane.width, (y + 1) * plane.width), y * width);
    }
    const spectrum = take();
    cv.dft(padded, spectrum, cv.DFT_COMPLEX_OUTPUT);
    const power = spectrum.data32F;
    for (let i = 0; i < power.length; i += 2) {
      power[i] = power[i] ** 2 + power[i + 1] ** 2;
      power[i + 1] = 0;
    }
    const result = take();
    cv.dft(spectrum, result, cv.DFT_INVERSE + cv.DFT_REAL_OUTPUT);
    const top = result.data32F[0] || 1;
    return { width, height, data: result.data32F.map((value) => value / top) };
  });
}

/**
 * Homography between two sets of points, least squares over all of them.
 *
 * @param from - x, y of each point, interleaved
 * @param to - x, y of its image, interleaved
 * @returns the 3 × 3 matrix in row order, last entry 1; null where the points don't determine one
 */
export function homography(from: readonly number[], to: readonly number[]): Float64Array | null {
  return withMats((take) => {
    const [source, target] = [from, to].map((points) => {
      const mat = take(new cv.Mat(points.length / 2, 1, cv.CV_64FC2));
      mat.data64F.set(points);
      return mat;
    });
    const matrix = take(cv.findHomography(source!, target!));
    return matrix.rows === 3 ? matrix.data64F.slice() : null;
  });
}
