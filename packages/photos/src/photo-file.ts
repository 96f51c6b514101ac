import { InputError } from '@twolamp/session';
import { isCameraRaw } from './camera-raw.js';
import { hasAllBoxes } from './iso-boxes.js';
import { type PhotoType, READABLE_TYPES, SNIFFED_BYTES, sniffPhotoType } from './photo-type.js';
import { openRegularFile, readOpenFile } from './regular-file.js';

/** Longest photo file: an uncompressed TIFF of 85 megapixels and 16 bits; others are far shorter. */
const MOST_BYTES = 512_000_000;

/** A picture file, whole in memory, not yet decoded. */
export interface PhotoFile {
  /** As the caller gave it; names the file in messages. */
  readonly path: string;
  readonly type: PhotoType;
  readonly bytes: Buffer;
}

/**
 * A picture file as bytes, with its type.
 *
 * @param path - file name, absolute or relative to the working folder
 * @throws InputError where nothing is there, it is no regular file, empty, too long, no picture of a readable type, or
 *   cut off
 */
export async function openPhotoFile(path: string): Promise<PhotoFile> {
  const file = await openRegularFile(path, { expected: READABLE_TYPES, mostBytes: MOST_BYTES });
  try {
    if (file.size === 0) throw new InputError(path, 'the file is empty (0 bytes)', READABLE_TYPES);
    // Look at the start first, so that a film or an archive isn't read whole only to be refused.
    const start = await readOpenFile(path, { ...file, size: Math.min(SNIFFED_BYTES, file.size) });
    const type = sniffPhotoType(start);
    if (type === null) throw new InputError(path, 'this is not a picture of a readable type', READABLE_TYPES);
    const bytes = await readOpenFile(path, file);
    if ((type === 'avif' || type === 'heic') && !hasAllBoxes(bytes)) {
      throw new InputError(
        path,
        'the picture is cut off: its last part is missing',
        'the whole file, copied again',
      );
    }
    if (type === 'tiff' && (await isCameraRaw(bytes))) {
      throw new InputError(path, 'this is a camera raw file', 'a JPEG or TIFF developed from it');
    }
    return { path, type, bytes };
  } finally {
    await file.handle.close();
  }
}
