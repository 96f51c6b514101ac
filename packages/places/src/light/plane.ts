import type { Plane, ReducedPhoto, ShotPhoto } from '@twolamp/session';

export type { ReducedPhoto } from '@twolamp/session';

/**
 * Mean over k × k pixels; the strip that doesn't fill a whole block at the right and the bottom is left out.
 *
 * Touches each pixel of the photo once; everything later works on the reduced picture, where cells are some 10 to 20
 * pixels apart: their sums lose nothing by it.
 *
 * @param factor - k, a whole number from 1 up
 * @throws RangeError if the factor is no whole number from 1 up, or larger than the photo
 */
export function reducePhoto(photo: ShotPhoto, factor: number): ReducedPhoto {
  if ('reduced' in photo) return photo.reduced(factor);
  const { width, height } = photo;
  const plane = blockMean(photo.light, width, height, factor);
  const clipped = photo.clipped.includes(1) ? blockMean(photo.clipped, width, height, factor).data : null;
  return { width: plane.width, height: plane.height, data: plane.data, clipped, factor };
}

/** The same light, for where it is and not how much: a part of each block's pixels may do. */
export function samplePhoto(photo: ShotPhoto, factor: number): Plane {
  return 'sampled' in photo ? photo.sampled(factor) : reducePhoto(photo, factor);
}

/** The same plane, shrunk again by a whole factor; as {@link reducePhoto}. */
export function reducePlane(plane: Plane, factor: number): Plane {
  return blockMean(plane.data, plane.width, plane.height, factor);
}

function blockMean(
  from: Float32Array | Uint8Array,
  fromWidth: number,
  fromHeight: number,
  factor: number,
): Plane {
  const width = Math.floor(fromWidth / factor);
  const height = Math.floor(fromHeight / factor);
  if (!Number.isInteger(factor) || factor < 1 || width < 1 || height < 1) {
    throw new RangeError(`factor must be a whole number from 1 up to the photo's size, got ${factor}`);
  }
  const data = new Float32Array(width * height);
  const share = 1 / (factor * factor);
  for (let y = 0; y < height * factor; y++) {
    const to = Math.floor(y / factor) * width;
    let at = y * fromWidth;
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (const end = at + factor; at < end; at++) sum += from[at];
      data[to + x] += sum * share;
    }
  }
  return { width, height, data };
}

/** Part of a plane, copied; it must lie inside. */
export function crop(plane: Plane, left: number, top: number, width: number, height: number): Plane {
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const from = (top + y) * plane.width + left;
    data.set(plane.data.subarray(from, from + width), y * width);
  }
  return { width, height, data };
}
