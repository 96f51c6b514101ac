import { InputError } from '@twolamp/session';
import type { PixelCodes } from '../codes.js';
import type { PhotoBytes } from './photo-bytes.js';

/** Codes and the turn that is still to be made. */
export interface Decoded {
  readonly pixels: PixelCodes;
  /** True where the decoder has turned the picture upright already. */
  readonly upright: boolean;
}

/**
 * The browser's own decoder: 8 bits, no colour conversion, so that the codes are those in the file.
 *
 * AVIF carries its turn in the picture's structure, which only the decoder knows.
 */
async function decodeByBrowser({ type, bytes }: PhotoBytes): Promise<Decoded> {
  const upright = type === 'avif';
  const bitmap = await createImageBitmap(new Blob([bytes], { type: `image/${type}` }), {
    colorSpaceConversion: 'none',
    premultiplyAlpha: 'none',
    imageOrientation: upright ? 'from-image' : ('none' as ImageOrientation),
  });
  try {
    const { width, height } = bitmap;
    const canvas = new OffscreenCanvas(width, height);
    const context = canvas.getContext('2d', { willReadFrequently: true })!;
    context.drawImage(bitmap, 0, 0);
    const { data } = context.getImageData(0, 0, width, height);
    canvas.width = canvas.height = 0; // gives the memory back at once
    return { pixels: { width, height, channels: 4, codes: 256, data }, upright };
  } finally {
    bitmap.close();
  }
}

/** Bits of one channel, from a PNG's first chunk (ISO/IEC 15948, 11.2.2). */
function isDeepPng({ type, bytes }: PhotoBytes): boolean {
  return type === 'png' && bytes[24] === 16;
}

/** Grey with opacity is spread to colour, which has one meaning for its fourth channel. */
function withOpacity(pixels: Omit<PixelCodes, 'channels'>): PixelCodes {
  const { data, width, height } = pixels;
  const spread =
    data instanceof Uint16Array ? new Uint16Array(width * height * 4) : new Uint8Array(width * height * 4);
  for (let i = 0; i < width * height; i++) {
    spread.fill(data[2 * i]!, 4 * i, 4 * i + 3);
    spread[4 * i + 3] = data[2 * i + 1]!;
  }
  return { ...pixels, channels: 4, data: spread };
}

function ofChannels(channels: number, pixels: Omit<PixelCodes, 'channels'>, name: string): PixelCodes {
  if (channels === 2) return withOpacity(pixels);
  if (channels === 1 || channels === 3 || channels === 4) return { ...pixels, channels };
  throw new InputError(name, `it has ${channels} channels`, 'grey or RGB');
}

async function decodeDeepPng({ name, bytes }: PhotoBytes): Promise<PixelCodes> {
  const { decode } = await import('fast-png'); // needed by few
  const { width, height, channels, data } = decode(bytes);
  return ofChannels(channels, { width, height, codes: 65536, data }, name);
}

/** TIFF 6.0, section 8: the tag PhotometricInterpretation. */
const PHOTOMETRIC = { blackIsZero: 1, rgb: 2 };

async function decodeTiff({ name, bytes }: PhotoBytes): Promise<PixelCodes> {
  const { decode } = await import('tiff'); // needed by few
  const page = decode(bytes, { pages: [0] })[0]!;
  const { data, bitsPerSample, width, height, components, type } = page;
  if (bitsPerSample !== 8 && bitsPerSample !== 16) {
    throw new InputError(name, `it has ${bitsPerSample} bits a channel`, '8 or 16 bits a channel');
  }
  if (!(data instanceof Uint8Array || data instanceof Uint16Array)) {
    throw new InputError(name, 'its pixels are of the kind "float"', '8 or 16 bits a channel');
  }
  if (type !== PHOTOMETRIC.blackIsZero && type !== PHOTOMETRIC.rgb) {
    throw new InputError(name, 'its colours are of another kind', 'grey or RGB');
  }
  const codes = 2 ** bitsPerSample;
  return ofChannels(components, { width, height, codes, data }, name);
}

/** libheif as WebAssembly, loaded when the first such photo comes; the turn in the picture's structure is applied there. */
async function decodeHeic({ bytes }: PhotoBytes): Promise<PixelCodes> {
  const { default: decode } = await import('heic-decode');
  const { width, height, data } = await decode({ buffer: bytes });
  return { width, height, channels: 4, codes: 256, data };
}

/** A picture's codes, as the file holds them. Fails with the decoder's own error. */
export async function decodePicture(file: PhotoBytes): Promise<Decoded> {
  if (file.type === 'heic') return { pixels: await decodeHeic(file), upright: true };
  if (file.type === 'tiff') return { pixels: await decodeTiff(file), upright: false };
  if (isDeepPng(file)) return { pixels: await decodeDeepPng(file), upright: false };
  return decodeByBrowser(file);
}
