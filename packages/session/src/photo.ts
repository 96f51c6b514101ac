/**
 * What passes from a decoded photo to the measurement.
 *
 * H rows × W columns, row-major: pixel (x, y) is light[y * width + x]; pixel centres on whole numbers, y down,
 * after the photo's orientation has been applied.
 */
export interface LinearPhoto {
  readonly width: number;
  readonly height: number;
  /** Linear light, 1 = the camera's full scale. */
  readonly light: Float32Array;
  /** 1 where a channel that `light` rests on sits at the top of its range. */
  readonly clipped: Uint8Array;
  /** From EXIF; null where the photo doesn't say. */
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
}

/** Linear light, H rows × W columns, row-major: pixel (x, y) is data[y * width + x]; pixel centres on whole numbers, y down. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}
