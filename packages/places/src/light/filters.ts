import type { Plane } from '@twolamp/session';
import { blur } from './blur.js';
import { EnlargedPlane } from './enlarged-plane.js';
import { reducePlane } from './plane.js';

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
