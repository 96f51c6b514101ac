import { InputError } from '@twolamp/session';
import { readHeader } from '../header.js';
import { openPhotoFile } from '../photo-file.js';
import type { PixelCodes } from '../codes.js';
import { decodePixels } from '../pixel-codes.js';
import { fitResponse, type ResponseFit } from './fit-response.js';

/** About as many samples as are taken of each photo; more cost time and gain nothing. */
const SAMPLES = 100_000;

/** One photo of an exposure series. */
export interface SeriesPhoto {
  readonly path: string;
  /** Relative to the other photos, in any unit: exposure time × ISO ÷ aperture². */
  readonly exposure: number;
}

async function decode8Bit(path: string): Promise<PixelCodes> {
  const file = await openPhotoFile(path);
  const header = await readHeader(file);
  if (header.bits !== 8)
    throw new InputError(path, `it has ${header.bits} bits a channel`, '8, for an exposure series');
  return decodePixels(file, header);
}

/** Evenly spread pixels, with all their colour channels. */
function sample({ data, channels, width, height }: PixelCodes): Uint8Array {
  const colours = channels === 1 ? 1 : 3;
  const step = Math.max(1, Math.floor((width * height * colours) / SAMPLES));
  const pixels = Math.floor((width * height - 1) / step) + 1;
  return Uint8Array.from({ length: pixels * colours }, (_, i) => {
    const pixel = Math.floor(i / colours) * step;
    return data[pixel * channels + (i % colours)];
  });
}

/**
 * A camera's response, red, green and blue taken together, from photos of one unmoved scene at several exposures.
 *
 * Exposures as cameras print them are rounded (1/60 s may be 1/64 s); the table carries that error on.
 *
 * @param photos - two or more 8-bit photos of one size from one stand; five a stop or two apart are better
 * @returns a table for `readPhoto`'s `tone`, and how far to trust it
 * @throws RangeError as `fitResponse` does
 * @throws InputError as `readPhoto` does, for photos of unequal size or more than 8 bits, and as `fitResponse` does
 */
export async function responseFromSeries(photos: readonly SeriesPhoto[]): Promise<ResponseFit> {
  const series = [];
  let firstSize: string | null = null;
  for (const { path, exposure } of photos) {
    const pixels = await decode8Bit(path); // one at a time: a decoded photo is large
    const size = `${pixels.width} × ${pixels.height} pixels in ${pixels.channels === 1 ? 'grey' : 'colour'}`;
    firstSize ??= size;
    if (size !== firstSize)
      throw new InputError(path, `it has ${size}`, `${firstSize} like the first of its series`);
    series.push({ codes: sample(pixels), exposure });
  }
  return fitResponse(series);
}
