import { InputError } from '@twolamp/session';
import sharp from 'sharp';
import { damaged } from './damaged.js';
import { type Header, sharpOptions } from './header.js';
import type { PhotoFile } from './photo-file.js';

/**
 * The numbers in a decoded picture, as the file holds them: orientation applied, no profile, no change of curve.
 *
 * H rows × W columns × channels, row-major and interleaved: channel k of pixel (x, y) is
 * data[(y * width + x) * channels + k]. Channels: 1 grey; 3 red, green, blue; 4 those and opacity.
 */
export interface PixelCodes {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3 | 4;
  /** Codes run from 0 to codes − 1. */
  readonly codes: number;
  readonly data: Uint8Array | Uint8ClampedArray | Uint16Array;
}

async function decodeBySharp(file: PhotoFile, header: Header): Promise<PixelCodes> {
  const wide = header.bits > 8;
  const space = wide ? (header.grey ? 'grey16' : 'rgb16') : header.grey ? 'b-w' : 'srgb';
  const { data: raw, info } = await sharp(file.bytes, sharpOptions(file))
    .autoOrient()
    .toColourspace(space)
    .raw({ depth: wide ? 'ushort' : 'uchar' })
    .toBuffer({ resolveWithObject: true });
  const data = wide ? new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2) : raw;
  // 10- and 12-bit codes come shifted up to 16 bits, so that white would fall short of the top.
  const shift = wide ? 16 - header.bits : 0;
  if (shift > 0) for (let i = 0; i < data.length; i++) data[i] >>= shift;
  return {
    width: info.width,
    height: info.height,
    channels: info.channels as 1 | 3 | 4,
    codes: 2 ** header.bits,
    data,
  };
}

/** A HEIC picture by libheif; the rotation in its own structure is applied there. */
export async function decodeHeic(file: PhotoFile): Promise<PixelCodes> {
  const { default: decode } = await import('heic-decode'); // 2 MB of WebAssembly, loaded only when needed
  const { width, height, data } = await decode({ buffer: file.bytes });
  return { width, height, channels: 4, codes: 256, data };
}

function hasTransparency({ data, channels, codes }: PixelCodes): boolean {
  if (channels !== 4) return false;
  for (let i = 3; i < data.length; i += 4) if (data[i] !== codes - 1) return true;
  return false;
}

/**
 * A picture's codes.
 *
 * @throws InputError where the picture is damaged, cut off or partly transparent
 */
export async function decodePixels(file: PhotoFile, header: Header): Promise<PixelCodes> {
  let pixels: PixelCodes;
  try {
    pixels = await (file.type === 'heic' ? decodeHeic(file) : decodeBySharp(file, header));
  } catch (error) {
    throw damaged(file.path, error);
  }
  if (hasTransparency(pixels))
    throw new InputError(file.path, 'parts of the picture are transparent', 'a photo');
  return pixels;
}
