import type { LinearPhoto } from '@twolamp/session';
import { errorFunction } from 'simple-statistics';

/** A camera's true noise in one photo, and how true spots look in it. */
export interface TrueView {
  /** Electrons that fill the scale at the photo's ISO. */
  readonly fullScaleElectrons: number;
  readonly readNoiseElectrons: number;
  /** Black level, share of full scale. */
  readonly offset: number;
  readonly boreRadiusPx: number;
  /** Standard deviation of the blur of lens, sheet and pixel. */
  readonly blurPx: number;
}

const REACH_SIGMAS = 4;

/**
 * The photon-noise limit of one cell's light in one photo, relative: √(1/Σ pᵢ²/varᵢ) ÷ flux, p the true footprint (an
 * evenly lit disc behind a Gaussian blur), var the camera's shot noise and read noise.
 *
 * Strict: place, shape, neighbours and background count as known, and the file as free of rounding and compression.
 * The mean light of a pixel is read off the photo itself; its own noise is too small to matter.
 *
 * Source: the Cramér–Rao bound of one linear amplitude (Kay, Fundamentals of Statistical Signal Processing, 1993, ch. 3).
 *
 * @param photo - with the dark level still in
 * @param x - true middle of the spot
 */
export function photonLimit(photo: LinearPhoto, x: number, y: number, view: TrueView): number {
  const { fullScaleElectrons, readNoiseElectrons, offset, boreRadiusPx, blurPx } = view;
  const reach = boreRadiusPx + REACH_SIGMAS * blurPx;
  const [left, right] = [Math.max(0, Math.ceil(x - reach)), Math.min(photo.width - 1, Math.floor(x + reach))];
  const [top, bottom] = [
    Math.max(0, Math.ceil(y - reach)),
    Math.min(photo.height - 1, Math.floor(y + reach)),
  ];
  // Sums for light = flux · footprint + background, and for the variance.
  let [one, p, pp, light, pLight, information] = [0, 0, 0, 0, 0, 0];
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      const distance = Math.hypot(column - x, row - y);
      const shape =
        (0.5 * (1 - errorFunction((distance - boreRadiusPx) / (blurPx * Math.SQRT2)))) /
        (Math.PI * boreRadiusPx ** 2);
      const mean = photo.light[row * photo.width + column] - offset;
      const electrons = Math.max(0, mean) * fullScaleElectrons + readNoiseElectrons ** 2;
      information += (shape ** 2 * fullScaleElectrons ** 2) / electrons;
      one += 1;
      p += shape;
      pp += shape ** 2;
      light += mean;
      pLight += shape * mean;
    }
  }
  const flux = (one * pLight - p * light) / (one * pp - p * p);
  return 1 / (flux * Math.sqrt(information));
}
