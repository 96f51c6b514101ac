import type { ReducedPhoto } from '@twolamp/session';
import type { PixelCodes } from './codes.js';
import { type Channel, channelsOf, rowOfLight } from './linear-light.js';
import type { ResponseTable } from './tone-curve.js';

/** Adds each run of `factor` values to one of a row of sums, times `share`. */
function addRow(
  sums: Float32Array,
  to: number,
  values: Float32Array | Uint8Array,
  width: number,
  factor: number,
  share: number,
): void {
  let at = 0;
  for (let x = to; x < to + width; x++) {
    let sum = 0;
    for (const end = at + factor; at < end; at++) sum += values[at];
    sums[x] += sum * share;
  }
}

/**
 * Linear light of a photo, reduced: a row's codes become light and are averaged while they are in the processor's cache.
 * The same to the bit as `linearLight` averaged over blocks.
 *
 * @param pixels - codes; opacity is passed over
 * @param table - light of each code, `pixels.codes` entries
 * @param channel - a grey photo gives its grey for every channel
 * @param factor - k: each pixel is the mean over k × k pixels of the photo
 * @throws RangeError if the factor is no whole number from 1 up, or larger than the photo
 */
export function reducedLight(
  pixels: PixelCodes,
  table: ResponseTable,
  channel: Channel,
  factor: number,
): ReducedPhoto {
  const width = Math.floor(pixels.width / factor);
  const height = Math.floor(pixels.height / factor);
  if (!Number.isInteger(factor) || factor < 1 || width < 1 || height < 1) {
    throw new RangeError(`factor must be a whole number from 1 up to the photo's size, got ${factor}`);
  }
  const data = new Float32Array(width * height);
  const clipped = new Float32Array(width * height);
  const lightOfRow = rowOfLight(pixels, table, channel);
  const light = new Float32Array(pixels.width);
  const isClipped = new Uint8Array(pixels.width);
  const share = 1 / (factor * factor);
  for (let row = 0; row < height * factor; row++) {
    lightOfRow(row, light, isClipped, 0);
    const to = Math.floor(row / factor) * width;
    addRow(data, to, light, width, factor, share);
    if (isClipped.includes(1)) addRow(clipped, to, isClipped, width, factor, share);
  }
  return { width, height, data, clipped, factor };
}

/** Pixels of which a channel that the light rests on sits at its top code. */
export function countClipped(pixels: PixelCodes, channel: Channel): number {
  const { data, channels, codes } = pixels;
  const top = codes - 1;
  // Most photos have none, which a search for the code tells at once; opacity would always be found.
  if (channels !== 4 && !(data as Uint8Array).includes(top)) return 0;
  const [first, last] = channelsOf(pixels, channel);
  let clipped = 0;
  for (let at = 0; at < data.length; at += channels) {
    for (let k = first; k <= last; k++) {
      if (data[at + k] !== top) continue;
      clipped++;
      break;
    }
  }
  return clipped;
}
