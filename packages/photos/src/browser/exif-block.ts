import exifr from 'exifr';
import { tiffPart } from '../exif.js';
import { webpChunks } from './file-parts.js';
import type { PhotoBytes } from './photo-bytes.js';

/** The EXIF chunk of a WebP (RFC 9649, 2.7.1.5). */
function webpExif(bytes: PhotoBytes['bytes']): Uint8Array | null {
  const chunk = webpChunks(bytes).find(({ name }) => name === 'EXIF');
  return chunk ? bytes.subarray(chunk.body, chunk.to) : null;
}

const NAME = [0x45, 0x78, 0x69, 0x66, 0, 0]; // "Exif" and two zeros
const NO_OFFSET = [0, 0, 0, 0];
/** A TIFF header in either byte order, its directory right behind it. */
const TIFF_MARKS = [
  [0x49, 0x49, 0x2a, 0, 8, 0, 0, 0],
  [0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8],
];

/**
 * The EXIF item of an AVIF or HEIC file: a TIFF block behind its offset and, often, the block's name (ISO/IEC 23008-12,
 * annex A). These twelve bytes and more stand nowhere else.
 */
function itemExif(bytes: Uint8Array): Uint8Array | null {
  const stands = (marks: readonly number[], at: number) => marks.every((byte, i) => bytes[at + i] === byte);
  for (const mark of TIFF_MARKS) {
    for (let at = bytes.indexOf(mark[0]); at >= 0; at = bytes.indexOf(mark[0], at + 1)) {
      if (!stands(mark, at)) continue;
      if (stands(NAME, at - NAME.length) || stands(NO_OFFSET, at - NO_OFFSET.length))
        return bytes.subarray(at);
    }
  }
  return null;
}

/** Where exifr finds a photo's EXIF: a block, or the whole file for the types it can take apart itself. */
export function exifBlock({ type, bytes }: PhotoBytes): Uint8Array | null {
  if (type === 'webp') return webpExif(bytes);
  return type === 'avif' || type === 'heic' ? itemExif(bytes) : bytes;
}

/** The EXIF orientation, 1 to 8; 1 where none is stated or it can't be read. */
export async function exifOrientation(block: Uint8Array | null): Promise<number> {
  if (block === null) return 1;
  const orientation = await exifr.orientation(tiffPart(block)).catch(() => 1);
  return orientation !== undefined && orientation >= 1 && orientation <= 8 ? orientation : 1;
}
