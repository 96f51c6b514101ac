import { InputError, type LinearPhoto, type PhotoExposure, type ReduciblePhoto } from '@twolamp/session';
import { profileCurve } from './colour-profile.js';
import { readShotFacts, type ShotFacts } from './exif.js';
import { readHeader } from './header.js';
import { type Channel, linearLight } from './linear-light.js';
import { openPhotoFile, type PhotoFile } from './photo-file.js';
import type { PhotoType } from './photo-type.js';
import type { PixelCodes } from './codes.js';
import { decodePixels } from './pixel-codes.js';
import { countClipped, reducedLight, sampledLight } from './reduced-light.js';
import { type ResponseTable, responseTable, type ToneCurve } from './tone-curve.js';

/** A TIFF file is an EXIF block itself. */
function exifOf(file: PhotoFile, block: Buffer | undefined): Buffer | null {
  return block ?? (file.type === 'tiff' ? file.bytes : null);
}

/** How a photo's codes are to be understood. */
export interface PhotoReading {
  readonly tone: ToneCurve;
  readonly channel: Channel;
}

/** A photo's codes, the light of each, and what the photo says of its exposure. */
interface DecodedPhoto {
  readonly pixels: PixelCodes;
  readonly table: ResponseTable;
  readonly exposure: PhotoExposure;
}

async function decodePhoto(path: string, tone: ToneCurve): Promise<DecodedPhoto> {
  const file = await openPhotoFile(path);
  const header = await readHeader(file);
  const codes = 2 ** header.bits;
  if (typeof tone !== 'string' && tone.length !== codes) {
    throw new InputError(
      path,
      `it has ${header.bits} bits a channel`,
      'the same kind of photo as the exposure series',
    );
  }
  const [exposure, pixels] = await Promise.all([
    readShotFacts(exifOf(file, header.exif)),
    decodePixels(file, header),
  ]);
  return {
    pixels,
    table: responseTable(tone, codes, header.icc ? profileCurve(header.icc) : null),
    exposure,
  };
}

/**
 * A photo as linear light.
 *
 * Orientation is applied, for HEIC and AVIF the one in the picture's own structure, elsewhere the EXIF tag. Where the
 * tone is `srgb`, an embedded colour profile's own curve is used in place of sRGB's; its primaries are left aside.
 *
 * @param path - file name; its ending plays no part
 * @param reading - tone curve and channel; a response table must fit the photo's number of codes
 * @returns light 0 to 1 with 1 at full scale, clipping, and the exposure EXIF states
 * @throws InputError where the file is missing, empty, damaged, cut off, or no photo; or the table is for other depths
 */
export async function readPhoto(path: string, { tone, channel }: PhotoReading): Promise<LinearPhoto> {
  const { pixels, table, exposure } = await decodePhoto(path, tone);
  const { width, height } = pixels;
  return { width, height, ...linearLight(pixels, table, channel), ...exposure };
}

/** A photo whose light is worked out from its codes each time it is asked for; as {@link readPhoto}. */
export async function readReduciblePhoto(
  path: string,
  { tone, channel }: PhotoReading,
): Promise<ReduciblePhoto> {
  const { pixels, table, exposure } = await decodePhoto(path, tone);
  const clippedPixels = countClipped(pixels, channel);
  return {
    width: pixels.width,
    height: pixels.height,
    clippedPixels,
    reduced: (factor) => reducedLight(pixels, table, channel, factor, clippedPixels > 0),
    sampled: (factor) => sampledLight(pixels, table, channel, factor),
    ...exposure,
  };
}

/** What is known of a photo before its pixels are decoded. */
export interface PhotoHead extends ShotFacts {
  readonly type: PhotoType;
  /** After the orientation tag has been applied. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Bits of one channel, as `readPhoto` gets them. */
  readonly bits: number;
}

/**
 * Size, type, exposure and time of a photo; its pixels stay undecoded, so that damage in them isn't seen.
 *
 * @throws InputError as `readPhoto` does
 */
export async function readPhotoHead(path: string): Promise<PhotoHead> {
  const file = await openPhotoFile(path);
  const { widthPx, heightPx, bits, exif } = await readHeader(file);
  return { type: file.type, widthPx, heightPx, bits, ...(await readShotFacts(exifOf(file, exif))) };
}
