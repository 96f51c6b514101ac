import { InputError } from '@twolamp/session';
import { readShotFacts } from '../exif.js';
import { exifBlock } from './exif-block.js';
import { openPhotoBytes, type PhotoSource } from './photo-bytes.js';

/** When a photo was taken, as `2025-01-31T18:05:09`; null where it doesn't say, or is no photo that can be read. */
export async function readTakenAt(source: PhotoSource): Promise<string | null> {
  try {
    return (await readShotFacts(exifBlock(await openPhotoBytes(source)))).takenAt;
  } catch (error) {
    if (error instanceof InputError) return null; // told when the photo is looked at
    throw error;
  }
}
