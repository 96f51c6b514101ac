import { InputError } from '@twolamp/session';
import type { PixelCodes } from '../codes.js';
import type { PhotoBytes } from './photo-bytes.js';
import { uprightTiff } from './tiff-orientation.js';
import { withoutExif } from './without-exif.js';

/** Codes, and how they lie. */
export interface Decoded {
  readonly pixels: PixelCodes;
  /** EXIF's number for the turn that is still to be made; 1 = none, null = as the EXIF block says. */
  readonly orientation: number | null;
}

/**
 * The browser's own decoder: 8 bits, no colour conversion, so that the codes are those in the file.
 *
 * Browsers turn some kinds of picture by their EXIF block and others not; without the block none is. AVIF carries its turn
 * in the picture's structure, which only the decoder knows.
 */
async function decodeByBrowser({ type, bytes }: PhotoBytes): Promise<Decoded> {
  const plain = type === 'jpeg' || type === 'png' || type === 'webp' ? withoutExif(bytes, type) : bytes;
  const bitmap = await createImageBitmap(new Blob([plain], { type: `image/${type}` }), {
    colorSpaceConversion: 'none',
    premultiplyAlpha: 'none',
  });
  try {
    const { width, height } = bitmap;
    const canvas = new OffscreenCanvas(width, height);
    const context = canvas.getContext('2d', { willReadFrequently: true })!;
    context.drawImage(bitmap, 0, 0);
    const { data } = context.getImageData(0, 0, width, height);
    canvas.width = canvas.height = 0; // gives the memory back at once
    return {
      pixels: { width, height, channels: 4, codes: 256, data },
      orientation: type === 'avif' ? 1 : null,
    };
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

/** Its decoder leaves some kinds of TIFF out, which is no damage. */
function decodePage<T>(name: string, decode: () => T): T {
  try {
    return decode();
  } catch (error) {
    const { message } = error as Error;
    if (!/unsupported/i.test(message)) throw error;
    throw new InputError(
      name,
      `this kind of TIFF can’t be read in a browser (${message})`,
      'one saved without compression or with LZW, or a PNG',
    );
  }
}

async function decodeTiff({ name, bytes }: PhotoBytes): Promise<Decoded> {
  const { decode } = await import('tiff'); // needed by few
  const { orientation, upright } = uprightTiff(bytes);
  const page = decodePage(name, () => decode(upright, { pages: [0] })[0]!);
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
  const pixels = ofChannels(components, { width, height, codes, data }, name);
  return { pixels, orientation };
}

/** libheif as WebAssembly, loaded when the first such photo comes; the turn in the picture's structure is applied there. */
async function decodeHeic({ bytes }: PhotoBytes): Promise<PixelCodes> {
  const { default: decode } = await import('heic-decode');
  const { width, height, data } = await decode({ buffer: bytes });
  return { width, height, channels: 4, codes: 256, data };
}

/** A picture's codes, as the file holds them. Fails with the decoder's own error. */
export async function decodePicture(file: PhotoBytes): Promise<Decoded> {
  if (file.type === 'heic') return { pixels: await decodeHeic(file), orientation: 1 };
  if (file.type === 'tiff') return decodeTiff(file);
  if (isDeepPng(file)) return { pixels: await decodeDeepPng(file), orientation: null };
  return decodeByBrowser(file);
}
