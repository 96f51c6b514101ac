import exifr from 'exifr';
import { tiffPart } from '../exif.js';
import type { PhotoBytes } from './photo-bytes.js';

/** The EXIF chunk of a WebP (RFC 9649, 2.7.1.5): chunks of a name, a length and their bytes, padded to even lengths. */
function webpExif(bytes: Uint8Array): Uint8Array | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = 12; at + 8 <= bytes.length; ) {
    const length = view.getUint32(at + 4, true);
    if (String.fromCharCode(...bytes.subarray(at, at + 4)) === 'EXIF') {
      return bytes.subarray(at + 8, at + 8 + length);
    }
    at += 8 + length + (length % 2);
  }
  return null;
}

/** Where exifr finds a photo's EXIF: a block, or the whole file for the types it can take apart itself. */
export function exifBlock({ type, bytes }: PhotoBytes): Uint8Array | null {
  return type === 'webp' ? webpExif(bytes) : bytes;
}

/** The EXIF orientation, 1 to 8; 1 where none is stated or it can't be read. */
export async function exifOrientation(block: Uint8Array | null): Promise<number> {
  if (block === null) return 1;
  const orientation = await exifr.orientation(tiffPart(block)).catch(() => 1);
  return orientation !== undefined && orientation >= 1 && orientation <= 8 ? orientation : 1;
}
