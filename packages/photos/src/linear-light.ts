import type { PixelCodes } from './codes.js';
import type { ResponseTable } from './tone-curve.js';

/** Which light of a colour photo is measured. */
export type Channel = 'luminance' | 'red' | 'green' | 'blue';

/**
 * Weights of linear red, green and blue in luminance.
 * Source: ITU-R BT.709-6, item 3.2; the same in IEC 61966-2-1:1999.
 */
export const LUMINANCE_WEIGHTS = [0.2126, 0.7152, 0.0722] as const;

const CHANNEL_INDEX = { red: 0, green: 1, blue: 2 } as const;

/** First and last place among a pixel's channels of those that the light rests on. */
export function channelsOf(
  { channels }: PixelCodes,
  channel: Channel,
): readonly [first: number, last: number] {
  if (channels === 1) return [0, 0];
  return channel === 'luminance' ? [0, 2] : [CHANNEL_INDEX[channel], CHANNEL_INDEX[channel]];
}

/** Writes a row's light to `light` from `at` on, and 1 or 0 to `clipped` for each pixel. */
type RowOfLight = (row: number, light: Float32Array, clipped: Uint8Array, at: number) => void;

/** Linear light and clipping, H × W, row-major. */
export interface LinearLight {
  /** 1 = full scale. */
  readonly light: Float32Array;
  /** 1 where a channel that `light` rests on sits at its top code. */
  readonly clipped: Uint8Array;
}

function ofOneChannel(pixels: PixelCodes, table: ResponseTable, index: number): RowOfLight {
  const { data, channels, width } = pixels;
  const top = pixels.codes - 1;
  return (row, light, clipped, start) => {
    let at = row * width * channels + index;
    for (let i = start; i < start + width; i++, at += channels) {
      light[i] = table[data[at]];
      clipped[i] = data[at] === top ? 1 : 0;
    }
  };
}

function ofLuminance(pixels: PixelCodes, table: ResponseTable): RowOfLight {
  const { data, channels, width } = pixels;
  const top = pixels.codes - 1;
  const [red, green, blue] = LUMINANCE_WEIGHTS.map((weight) => table.map((value) => weight * value));
  return (row, light, clipped, start) => {
    let at = row * width * channels;
    for (let i = start; i < start + width; i++, at += channels) {
      const r = data[at];
      const g = data[at + 1];
      const b = data[at + 2];
      light[i] = red[r] + green[g] + blue[b];
      clipped[i] = r === top || g === top || b === top ? 1 : 0;
    }
  };
}

/**
 * Linear light of one channel, or of the luminance, a row at a time.
 *
 * @param pixels - codes; opacity is passed over
 * @param table - light of each code, `pixels.codes` entries
 * @param channel - a grey photo gives its grey for every channel
 */
function rowOfLight(pixels: PixelCodes, table: ResponseTable, channel: Channel): RowOfLight {
  if (pixels.channels === 1) return ofOneChannel(pixels, table, 0);
  return channel === 'luminance'
    ? ofLuminance(pixels, table)
    : ofOneChannel(pixels, table, CHANNEL_INDEX[channel]);
}

/** Linear light of a whole photo, of one channel or of the luminance. */
export function linearLight(pixels: PixelCodes, table: ResponseTable, channel: Channel): LinearLight {
  const { width, height } = pixels;
  const light = new Float32Array(width * height);
  const clipped = new Uint8Array(width * height);
  const lightOfRow = rowOfLight(pixels, table, channel);
  for (let row = 0; row < height; row++) lightOfRow(row, light, clipped, row * width);
  return { light, clipped };
}
