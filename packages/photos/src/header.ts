import { InputError, MOST_PIXELS } from '@twolamp/session';
import sharp, { type Metadata, type SharpOptions } from 'sharp';
import { damaged } from './damaged.js';
import type { PhotoFile } from './photo-file.js';
import { requirePhotoSize } from './picture-size.js';
import type { PhotoType } from './photo-type.js';

/** Fewer levels than 8 bits give are a drawing or a fax, no photo. */
const FEWEST_BITS = 8;

/** What a picture says of itself before its pixels are decoded. */
export interface Header {
  /** After the orientation tag has been applied. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Bits of one channel, 8 to 16, as decoding gives them. */
  readonly bits: number;
  /** One channel and no opacity. */
  readonly grey: boolean;
  /** The EXIF block, if it is one that stands by itself. */
  readonly exif: Buffer | undefined;
  /** The embedded colour profile. */
  readonly icc: Buffer | undefined;
}

/** Types in which a decoder's warning means damage; in the others damage is an error, and warnings are harmless. */
const STRICT: readonly PhotoType[] = ['jpeg', 'tiff'];

/**
 * How strict sharp is with a photo: a JPEG or TIFF with any complaint is refused, because rot inside a JPEG and broken
 * tiles of a TIFF are only warnings there; elsewhere warnings are about harmless things such as an odd colour profile.
 */
export function sharpOptions(file: PhotoFile): SharpOptions {
  return {
    failOn: STRICT.includes(file.type) ? 'warning' : 'error',
    ignoreIcc: true,
    limitInputPixels: MOST_PIXELS,
  };
}

function bitsOf(file: PhotoFile, metadata: Metadata): number {
  // HEIC comes out of its decoder with 8 bits, whatever is inside.
  if (metadata.depth === 'uchar' || file.type === 'heic') return 8;
  return file.type === 'avif' ? (metadata.bitsPerSample ?? 16) : 16;
}

/**
 * Size, depth and EXIF block of a picture.
 *
 * @throws InputError for damage in the header, too small or too large a picture, or codes that aren't grey or RGB of
 *   8 to 16 bits
 */
export async function readHeader(file: PhotoFile): Promise<Header> {
  let metadata: Metadata;
  try {
    metadata = await sharp(file.bytes, sharpOptions(file)).metadata();
  } catch {
    throw damaged(file.path);
  }
  const { width: widthPx, height: heightPx } = metadata.autoOrient;
  requirePhotoSize(widthPx, heightPx, file.path);
  if (metadata.depth !== 'uchar' && metadata.depth !== 'ushort') {
    throw new InputError(
      file.path,
      `its pixels are of the kind "${metadata.depth}"`,
      '8 or 16 bits a channel',
    );
  }
  const bits = metadata.bitsPerSample ?? FEWEST_BITS;
  if (bits < FEWEST_BITS) {
    const found = bits === 1 ? 'its pixels are black or white only (1 bit)' : `it has ${bits} bits a channel`;
    throw new InputError(file.path, found, '8 or 16 bits a channel');
  }
  if (!['srgb', 'b-w', 'rgb16', 'grey16'].includes(metadata.space)) {
    throw new InputError(file.path, `its colours are of the kind "${metadata.space}"`, 'grey or RGB');
  }
  // Grey with opacity is decoded as colour: sharp's grey output would drop the opacity unseen.
  const grey = (metadata.space === 'b-w' || metadata.space === 'grey16') && !metadata.hasAlpha;
  return { widthPx, heightPx, bits: bitsOf(file, metadata), grey, exif: metadata.exif, icc: metadata.icc };
}
