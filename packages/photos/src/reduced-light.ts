import type { ReducedPhoto } from '@twolamp/session';
import type { PixelCodes } from './codes.js';
import { type Channel, channelsOf, LUMINANCE_WEIGHTS } from './linear-light.js';
import type { ResponseTable } from './tone-curve.js';

/**
 * Mean of what each code stands for, over k × k pixels: the codes are looked up and averaged while they are in the
 * processor's cache.
 *
 * @param index - of the channel
 */
function meanOfChannel(
  { data, channels, width: across }: PixelCodes,
  table: Float64Array,
  index: number,
  { width, height, factor }: ReducedSize,
): Float32Array {
  const means = new Float32Array(width * height);
  const shares = table.map((value) => value / factor ** 2);
  for (let row = 0; row < height * factor; row++) {
    const to = Math.floor(row / factor) * width;
    let at = row * across * channels + index;
    for (let x = to; x < to + width; x++) {
      let sum = 0;
      for (const end = at + factor * channels; at < end; at += channels) sum += shares[data[at]];
      means[x] += sum;
    }
  }
  return means;
}

/** The same of the luminance. */
function meanLuminance(
  { data, channels, width: across }: PixelCodes,
  table: ResponseTable,
  { width, height, factor }: ReducedSize,
): Float32Array {
  const means = new Float32Array(width * height);
  const [red, green, blue] = LUMINANCE_WEIGHTS.map((weight) =>
    table.map((value) => (weight * value) / factor ** 2),
  );
  for (let row = 0; row < height * factor; row++) {
    const to = Math.floor(row / factor) * width;
    let at = row * across * channels;
    for (let x = to; x < to + width; x++) {
      let sum = 0;
      for (const end = at + factor * channels; at < end; at += channels) {
        sum += red[data[at]] + green[data[at + 1]] + blue[data[at + 2]];
      }
      means[x] += sum;
    }
  }
  return means;
}

interface ReducedSize {
  readonly width: number;
  readonly height: number;
  readonly factor: number;
}

/** Share of the pixels of which a channel that the light rests on sits at its top code. */
function clippedShares(
  pixels: PixelCodes,
  channel: Channel,
  { width, height, factor }: ReducedSize,
): Float32Array {
  const shares = new Float32Array(width * height);
  const { data, channels, codes } = pixels;
  const [first, last] = channelsOf(pixels, channel);
  for (let row = 0; row < height * factor; row++) {
    const to = Math.floor(row / factor) * width;
    let at = row * pixels.width * channels;
    for (let column = 0; column < width * factor; column++, at += channels) {
      for (let k = first; k <= last; k++) {
        if (data[at + k] !== codes - 1) continue;
        shares[to + Math.floor(column / factor)] += 1 / factor ** 2;
        break;
      }
    }
  }
  return shares;
}

/**
 * Linear light of a photo, reduced.
 *
 * @param pixels - codes; opacity is passed over
 * @param table - light of each code, `pixels.codes` entries
 * @param channel - a grey photo gives its grey for every channel
 * @param factor - k: each pixel is the mean over k × k pixels of the photo
 * @param anyClipped - whether any pixel is clipped, by {@link countClipped}
 * @throws RangeError if the factor is no whole number from 1 up, or larger than the photo
 */
export function reducedLight(
  pixels: PixelCodes,
  table: ResponseTable,
  channel: Channel,
  factor: number,
  anyClipped: boolean,
): ReducedPhoto {
  const width = Math.floor(pixels.width / factor);
  const height = Math.floor(pixels.height / factor);
  if (!Number.isInteger(factor) || factor < 1 || width < 1 || height < 1) {
    throw new RangeError(`factor must be a whole number from 1 up to the photo's size, got ${factor}`);
  }
  const size = { width, height, factor };
  const [first, last] = channelsOf(pixels, channel);
  const data =
    first === last ? meanOfChannel(pixels, table, first, size) : meanLuminance(pixels, table, size);
  const clipped = anyClipped ? clippedShares(pixels, channel, size) : null;
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
