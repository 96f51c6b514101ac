import { InputError, type ReduciblePhoto } from '@twolamp/session';
import { type PixelCodes, refuseTransparency } from '../codes.js';
import { type Decode, profileCurve } from '../colour-profile.js';
import { damaged } from '../damaged.js';
import { readShotFacts, type ShotFacts } from '../exif.js';
import type { Channel } from '../linear-light.js';
import { requirePhotoSize } from '../picture-size.js';
import { countClipped, reducedLight, sampledLight } from '../reduced-light.js';
import { responseTable, type ToneCurve } from '../tone-curve.js';
import { decodePicture } from './decode.js';
import { exifBlock, exifOrientation } from './exif-block.js';
import { iccProfile } from './icc-profile.js';
import { orient } from './orient.js';
import { openPhotoBytes, type PhotoSource } from './photo-bytes.js';

/** A photo's codes, the right way up, the tone curve of its colour profile, and what its EXIF says. */
export interface PhotoCodes {
  readonly pixels: PixelCodes;
  /** Null where it has none, or none that can be read. */
  readonly profile: Decode | null;
  readonly facts: ShotFacts;
}

/**
 * Decodes a photo.
 *
 * @throws InputError where it is empty, damaged, cut off, transparent, or no photo
 */
export async function readCodes(source: PhotoSource): Promise<PhotoCodes> {
  const file = await openPhotoBytes(source);
  const exif = exifBlock(file);
  try {
    const [{ pixels, orientation }, stated, facts, icc] = await Promise.all([
      decodePicture(file),
      exifOrientation(exif),
      readShotFacts(exif),
      iccProfile(file),
    ]);
    requirePhotoSize(pixels.width, pixels.height, source.name);
    refuseTransparency(pixels, source.name);
    return { pixels: orient(pixels, orientation ?? stated), profile: icc && profileCurve(icc), facts };
  } catch (error) {
    throw error instanceof InputError ? error : damaged(source.name);
  }
}

/**
 * Codes as linear light, worked out each time it is asked for: the counterpart of the package's `readReduciblePhoto`.
 *
 * @param codes - from `readCodes`
 * @param tone - a table must have an entry for each of the photo's codes
 * @param name - the photo, for messages
 * @throws InputError where the table is for another depth
 */
export function lightOfCodes(
  { pixels, profile, facts }: PhotoCodes,
  tone: ToneCurve,
  channel: Channel,
  name: string,
): ReduciblePhoto {
  if (typeof tone !== 'string' && tone.length !== pixels.codes) {
    const bits = Math.log2(pixels.codes);
    throw new InputError(
      name,
      `it has ${bits} bits a channel`,
      'the same kind of photo as the exposure series',
    );
  }
  const table = responseTable(tone, pixels.codes, profile);
  const clippedPixels = countClipped(pixels, channel);
  return {
    width: pixels.width,
    height: pixels.height,
    clippedPixels,
    reduced: (factor) => reducedLight(pixels, table, channel, factor, clippedPixels > 0),
    sampled: (factor) => sampledLight(pixels, table, channel, factor),
    ...facts,
  };
}
