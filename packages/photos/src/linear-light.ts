import type { PixelCodes } from './codes.js';
import type { ResponseTable } from './tone-curve.js';

/** Which light of a colour photo is measured. */
export type Channel = 'luminance' | 'red' | 'green' | 'blue';

/**
 * Weights of linear red, green and blue in luminance.
 * Source: ITU-R BT.709-6, item 3.2; the same in IEC 61966-2-1:1999.
 */
const LUMINANCE_WEIGHTS = [0.2126, 0.7152, 0.0722] as const;

const CHANNEL_INDEX = { red: 0, green: 1, blue: 2 } as const;

/** Linear light and clipping, H × W, row-major. */
export interface LinearLight {
  /** 1 = full scale. */
  readonly light: Float32Array;
  /** 1 where a channel that `light` rests on sits at its top code. */
  readonly clipped: Uint8Array;
}

function ofOneChannel(pixels: PixelCodes, table: ResponseTable, index: number): LinearLight {
  const { data, channels } = pixels;
  const count = pixels.width * pixels.height;
  const top = pixels.codes - 1;
  const light = new Float32Array(count);
  const clipped = new Uint8Array(count);
  for (let i = 0, at = index; i < count; i++, at += channels) {
    light[i] = table[data[at]];
    if (data[at] === top) clipped[i] = 1;
  }
  return { light, clipped };
}

function luminance(pixels: PixelCodes, table: ResponseTable): LinearLight {
  const { data, channels } = pixels;
  const count = pixels.width * pixels.height;
  const top = pixels.codes - 1;
  const [red, green, blue] = LUMINANCE_WEIGHTS.map((weight) => table.map((value) => weight * value));
  const light = new Float32Array(count);
  const clipped = new Uint8Array(count);
  for (let i = 0, at = 0; i < count; i++, at += channels) {
    const r = data[at];
    const g = data[at + 1];
    const b = data[at + 2];
    light[i] = red[r] + green[g] + blue[b];
    if (r === top || g === top || b === top) clipped[i] = 1;
  }
  return { light, clipped };
}

/**
 * Linear light of one channel, or of the luminance.
 *
 * @param pixels - codes; opacity is passed over
 * @param table - light of each code, `pixels.codes` entries
 * @param channel - a grey photo gives its grey for every channel
 */
export function linearLight(pixels: PixelCodes, table: ResponseTable, channel: Channel): LinearLight {
  if (pixels.channels === 1) return ofOneChannel(pixels, table, 0);
  return channel === 'luminance'
    ? luminance(pixels, table)
    : ofOneChannel(pixels, table, CHANNEL_INDEX[channel]);
}
