import sharp, { type Sharp } from 'sharp';
import { damaged } from './damaged.js';
import { readHeader, sharpOptions } from './header.js';
import { openPhotoFile, type PhotoFile } from './photo-file.js';
import { decodeHeic } from './pixel-codes.js';

/** Good enough to see spots by, at about a tenth of the photo's size. */
const JPEG_QUALITY = 80;

/** A small picture of a photo, for a page. */
export interface Thumbnail {
  readonly jpeg: Buffer;
  readonly width: number;
  readonly height: number;
  /** Thumbnail pixels per photo pixel: photo pixel centre x lies at (x + 0.5) · scale − 0.5. */
  readonly scale: number;
}

async function openPicture(file: PhotoFile): Promise<Sharp> {
  if (file.type !== 'heic') return sharp(file.bytes, sharpOptions(file));
  const { data, width, height, channels } = await decodeHeic(file);
  return sharp(data, { raw: { width, height, channels } });
}

/**
 * A small JPEG of a photo, the right way up, in the photo's own tones.
 *
 * @param path - the photo
 * @param widthPx - width wanted; a narrower photo keeps its width
 * @throws RangeError where widthPx isn't a whole number above 0
 * @throws InputError as `readPhoto` does
 */
export async function thumbnail(path: string, widthPx: number): Promise<Thumbnail> {
  if (!Number.isInteger(widthPx) || widthPx < 1) {
    throw new RangeError(`widthPx must be a whole number above 0, got ${widthPx}`);
  }
  const file = await openPhotoFile(path);
  const header = await readHeader(file);
  try {
    const { data: jpeg, info } = await (await openPicture(file))
      .autoOrient()
      .resize({ width: widthPx, withoutEnlargement: true })
      .jpeg({ quality: JPEG_QUALITY })
      .toBuffer({ resolveWithObject: true });
    return { jpeg, width: info.width, height: info.height, scale: info.width / header.widthPx };
  } catch {
    throw damaged(file.path);
  }
}
