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

/** One spot's share of light on each pixel it reaches. */
interface Spot {
  readonly pixels: readonly number[];
  readonly shares: readonly number[];
}

const REACH_SIGMAS = 4;
/** Sweeps over all cells that bring their lights to rest: neighbours share a few per cent of their light at most. */
const SWEEPS = 60;

/**
 * The photon-noise limit of each cell's light in one photo, relative: √(1/Σ pᵢ²/varᵢ) ÷ flux, p the true footprint (an
 * evenly lit disc behind a Gaussian blur), var the camera's shot noise and read noise.
 *
 * Strict: place, shape, neighbours and background count as known, and the file as free of rounding and compression.
 * Lights, and the level between them, are read off the photo itself by least squares over all true footprints at once;
 * their own noise is too small to matter.
 *
 * Source: the Cramér–Rao bound of one linear amplitude (Kay, Fundamentals of Statistical Signal Processing, 1993, ch. 3).
 *
 * @param photo - with the dark level still in
 * @param places - true middles of the spots
 */
export function photonLimits(
  photo: LinearPhoto,
  places: readonly { readonly xPx: number; readonly yPx: number }[],
  view: TrueView,
): number[] {
  const { fullScaleElectrons, readNoiseElectrons, offset } = view;
  const spots = places.map(({ xPx, yPx }) => spotOn(photo, xPx, yPx, view));
  const reached = [...new Set(spots.flatMap(({ pixels }) => pixels))];
  const rest = photo.light.map((value) => value - offset);
  const flux = new Float64Array(spots.length);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    spots.forEach((spot, k) => {
      const step = matched(spot, (pixel) => rest[pixel]) / matched(spot, null);
      flux[k] += step;
      spot.pixels.forEach((pixel, n) => {
        rest[pixel] -= step * spot.shares[n];
      });
    });
    const level = reached.reduce((sum, pixel) => sum + rest[pixel], 0) / reached.length;
    for (const pixel of reached) rest[pixel] -= level;
  }
  return spots.map((spot, k) => {
    let information = 0;
    spot.pixels.forEach((pixel, n) => {
      const modelled = photo.light[pixel] - offset - rest[pixel];
      const variance = Math.max(0, modelled) * fullScaleElectrons + readNoiseElectrons ** 2;
      information += (spot.shares[n] * fullScaleElectrons) ** 2 / variance;
    });
    return 1 / (flux[k] * Math.sqrt(information));
  });
}

function spotOn(photo: LinearPhoto, x: number, y: number, { boreRadiusPx, blurPx }: TrueView): Spot {
  const reach = boreRadiusPx + REACH_SIGMAS * blurPx;
  const pixels: number[] = [];
  const shares: number[] = [];
  for (let row = Math.max(0, Math.ceil(y - reach)); row <= Math.min(photo.height - 1, y + reach); row++) {
    for (
      let column = Math.max(0, Math.ceil(x - reach));
      column <= Math.min(photo.width - 1, x + reach);
      column++
    ) {
      const distance = Math.hypot(column - x, row - y);
      pixels.push(row * photo.width + column);
      shares.push(
        (0.5 * (1 - errorFunction((distance - boreRadiusPx) / (blurPx * Math.SQRT2)))) /
          (Math.PI * boreRadiusPx ** 2),
      );
    }
  }
  return { pixels, shares };
}

/** Sum over a spot's pixels of its share times a picture, or its share again. */
function matched({ pixels, shares }: Spot, picture: ((pixel: number) => number) | null): number {
  return shares.reduce((sum, share, n) => sum + share * (picture ? picture(pixels[n]) : share), 0);
}
