import sharp from 'sharp';
import { damaged } from './damaged.js';
import { type Header, sharpOptions } from './header.js';
import { type PixelCodes, refuseTransparency } from './codes.js';
import type { PhotoFile } from './photo-file.js';

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

/**
 * A picture's codes.
 *
 * @throws InputError where the picture is damaged, cut off or partly transparent
 */
export async function decodePixels(file: PhotoFile, header: Header): Promise<PixelCodes> {
  let pixels: PixelCodes;
  try {
    pixels = await (file.type === 'heic' ? decodeHeic(file) : decodeBySharp(file, header));
  } catch {
    throw damaged(file.path);
  }
  refuseTransparency(pixels, file.path);
  return pixels;
}
