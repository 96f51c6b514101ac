/** Pixels of the largest photo that is read or made, 134 megapixels: what fits into 2 GB while it is decoded. */
export const MOST_PIXELS = 2 ** 27;

/** What a photo says of its exposure, from EXIF; null where it doesn't say. */
export interface PhotoExposure {
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
  /** Local time of the camera's clock, as `2025-01-31T18:05:09`; absent where nobody asked the photo. */
  readonly takenAt?: string | null;
  /** Whether it says that frames were merged or tones changed in parts of the picture; absent likewise. */
  readonly processed?: boolean;
}

/**
 * A photo's linear light in full.
 *
 * H rows × W columns, row-major: pixel (x, y) is light[y * width + x]; pixel centres on whole numbers, y down,
 * after the photo's orientation has been applied.
 */
export interface LinearPhoto extends PhotoExposure {
  readonly width: number;
  readonly height: number;
  /** Linear light, 1 = the camera's full scale. */
  readonly light: Float32Array;
  /** 1 where a channel that `light` rests on sits at the top of its range. */
  readonly clipped: Uint8Array;
}

/** Linear light, H rows × W columns, row-major: pixel (x, y) is data[y * width + x]; pixel centres on whole numbers, y down. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/**
 * A photo reduced by a whole factor k. Reduced pixel (X, Y) is the mean over k × k pixels of the photo; its middle
 * lies at x = k·X + (k − 1)/2 of the photo.
 */
export interface ReducedPhoto extends Plane {
  readonly factor: number;
  /** Share of the k × k pixels that are clipped, 0 to 1; null where none is. */
  readonly clipped: Float32Array | null;
}

/** A photo that gives its light reduced, so that it is never laid out in full: a tenth of the memory, and quicker. */
export interface ReduciblePhoto extends PhotoExposure {
  readonly width: number;
  readonly height: number;
  /** How many of its pixels are clipped. */
  readonly clippedPixels: number;
  /**
   * The photo reduced by a factor; the strip that doesn't fill a whole block at the right and the bottom is left out.
   *
   * @param factor - k, a whole number from 1 up
   * @throws RangeError if the factor is no whole number from 1 up, or larger than the photo
   */
  readonly reduced: (factor: number) => ReducedPhoto;
  /** The same light by every second pixel of every second row of a block: quicker, for where light is and not how much. */
  readonly sampled: (factor: number) => Plane;
}

/** What passes from a decoded photo to the measurement. */
export type ShotPhoto = LinearPhoto | ReduciblePhoto;
