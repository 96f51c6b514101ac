import type { Plane, ReducedPhoto } from '@twolamp/session';
import type { PixelCodes } from './codes.js';
import { type Channel, channelsOf, LUMINANCE_WEIGHTS } from './linear-light.js';
import type { ResponseTable } from './tone-curve.js';

/**
 * Mean of what each code stands for, over k × k pixels or some of them: the codes are looked up and averaged while they are
 * in the processor's cache.
 *
 * @param index - of the channel
 */
function meanOfChannel(
  { data, channels, width: across }: PixelCodes,
  table: Float64Array,
  index: number,
  { width, height, factor, step }: ReducedSize,
): Float32Array {
  const means = new Float32Array(width * height);
  const counted = Math.ceil(factor / step) ** 2;
  const shares = table.map((value) => value / counted);
  const [block, next] = [factor * channels, step * channels];
  for (let row = 0; row < height * factor; row++) {
    if ((row % factor) % step !== 0) continue;
    const to = Math.floor(row / factor) * width;
    let from = row * across * channels + index;
    for (let x = to; x < to + width; x++, from += block) {
      let sum = 0;
      for (let at = from; at < from + block; at += next) sum += shares[data[at]];
      means[x] += sum;
    }
  }
  return means;
}

/** The same of the luminance. */
function meanLuminance(
  { data, channels, width: across }: PixelCodes,
  table: ResponseTable,
  { width, height, factor, step }: ReducedSize,
): Float32Array {
  const means = new Float32Array(width * height);
  const [red, green, blue] = LUMINANCE_WEIGHTS.map((weight) =>
    table.map((value) => (weight * value) / Math.ceil(factor / step) ** 2),
  );
  const [block, next] = [factor * channels, step * channels];
  for (let row = 0; row < height * factor; row++) {
    if ((row % factor) % step !== 0) continue;
    const to = Math.floor(row / factor) * width;
    let from = row * across * channels;
    for (let x = to; x < to + width; x++, from += block) {
      let sum = 0;
      for (let at = from; at < from + block; at += next) {
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
  /** 1 for all pixels of a block, 2 for every second one of every second row. */
  readonly step: number;
}

/** @throws RangeError if the factor is no whole number from 1 up, or larger than the photo */
function reducedSize(pixels: PixelCodes, factor: number, step: number): ReducedSize {
  const width = Math.floor(pixels.width / factor);
  const height = Math.floor(pixels.height / factor);
  if (!Number.isInteger(factor) || factor < 1 || width < 1 || height < 1) {
    throw new RangeError(`factor must be a whole number from 1 up to the photo's size, got ${factor}`);
  }
  return { width, height, factor, step };
}

function meanLight(
  pixels: PixelCodes,
  table: ResponseTable,
  channel: Channel,
  size: ReducedSize,
): Float32Array {
  const [first, last] = channelsOf(pixels, channel);
  return first === last ? meanOfChannel(pixels, table, first, size) : meanLuminance(pixels, table, size);
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
  const size = reducedSize(pixels, factor, 1);
  const { width, height } = size;
  const data = meanLight(pixels, table, channel, size);
  const clipped = anyClipped ? clippedShares(pixels, channel, size) : null;
  return { width, height, data, clipped, factor };
}

/** The same light by every second pixel of every second row of a block. */
export function sampledLight(
  pixels: PixelCodes,
  table: ResponseTable,
  channel: Channel,
  factor: number,
): Plane {
  const size = reducedSize(pixels, factor, 2);
  return { width: size.width, height: size.height, data: meanLight(pixels, table, channel, size) };
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
