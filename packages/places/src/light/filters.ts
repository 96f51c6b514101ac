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

/** Pixels that are blurred at once: the wasm heap grows with them, and never shrinks again. */
const BAND_PIXELS = 1 << 20;

/**
 * Gaussian blur; beyond the rim the outermost pixels repeat.
 *
 * @param plane - H × W
 * @param sigmaPx - standard deviation in pixels, above 0
 */
export function blur({ width, height, data }: Plane, sigmaPx: number): Plane {
  const blurred = new Float32Array(data.length);
  // The filter's own reach; rows beyond it have no say.
  const reach = Math.ceil(4 * sigmaPx) + 1;
  const rows = Math.max(2 * reach, Math.ceil(BAND_PIXELS / width));
  for (let top = 0; top < height; top += rows) {
    const bottom = Math.min(height, top + rows);
    const [first, end] = [Math.max(0, top - reach), Math.min(height, bottom + reach)];
    withMats((take) => {
      const from = take(new cv.Mat(end - first, width, cv.CV_32F));
      from.data32F.set(data.subarray(first * width, end * width));
      const to = take();
      cv.GaussianBlur(from, to, new cv.Size(0, 0), sigmaPx, sigmaPx, cv.BORDER_REPLICATE);
      blurred.set(to.data32F.subarray((top - first) * width, (bottom - first) * width), top * width);
    });
  }
  return { width, height, data: blurred };
}

/** Pixels a standard deviation that a wide Gaussian needs. */
const WIDE_STEPS = 3;

/**
 * Takes a plane's blur by a wide Gaussian off other values. It is blurred on a reduced plane and enlarged again, by a Gaussian
 * that is narrower by what both of these blur.
 */
function takeWideBlurOff(from: Float32Array, plane: Plane, sigmaPx: number): void {
  const { width, height } = plane;
  const factor = Math.min(Math.floor(sigmaPx / WIDE_STEPS), width, height);
  if (factor <= 1) {
    const { data } = blur(plane, sigmaPx);
    for (let at = 0; at < from.length; at++) from[at] -= data[at];
    return;
  }
  // Variances: (k² − 1)/12 of a mean over k pixels, (k² − 1)/6 of a triangle 2k wide.
  const sigma = Math.sqrt(sigmaPx * sigmaPx - (factor * factor - 1) / 4) / factor;
  const large = new EnlargedPlane(blur(reducePlane(plane, factor), sigma), factor, width);
  for (let y = 0, at = 0; y < height; y++) {
    const row = large.row(y);
    for (let x = 0; x < width; x++, at++) from[at] -= row[x];
  }
}

/** Band-pass as the difference of two Gaussian blurs: spots of the size of `fineSigmaPx` stand out, slow trends go. */
export function bandPass(plane: Plane, fineSigmaPx: number, coarseSigmaPx: number): Plane {
  return bandsOf(plane, fineSigmaPx)(coarseSigmaPx);
}

/** The same for several coarse blurs. */
export function bandsOf(plane: Plane, fineSigmaPx: number): (coarseSigmaPx: number) => Plane {
  const fine = blur(plane, fineSigmaPx);
  return (coarseSigmaPx) => {
    const data = fine.data.slice();
    takeWideBlurOff(data, plane, coarseSigmaPx);
    return { width: plane.width, height: plane.height, data };
  };
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
    const data = result.data32F.slice();
    const top = data[0] || 1;
    for (let at = 0; at < data.length; at++) data[at] /= top;
    return { width, height, data };
  });
}

/**
 * Homography between two sets of points, least squares over all of them.
 *
 * @param from - x, y of each point, interleaved
 * @param to - x, y of its image, interleaved
 * @returns the 3 × 3 matrix in row order, last entry 1; null where the points don't determine one
 */
export function homography(from: ArrayLike<number>, to: ArrayLike<number>): Float64Array | null {
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
