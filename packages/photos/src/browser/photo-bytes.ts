import { InputError } from '@twolamp/session';
import { isCameraRaw } from '../camera-raw.js';
import { hasAllBoxes } from '../iso-boxes.js';
import { type PhotoType, READABLE_TYPES, sniffPhotoType } from '../photo-type.js';

/** A picture file as the browser hands it over. */
export interface PhotoSource {
  /** As the person knows it; names the file in messages. */
  readonly name: string;
  readonly blob: Blob;
}

/** A picture file, whole in memory, not yet decoded. */
export interface PhotoBytes {
  readonly name: string;
  readonly type: PhotoType;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

const CUT_OFF = ['the picture is cut off: its last part is missing', 'the whole file, copied again'] as const;

/**
 * Whether a JPEG reaches its end mark (ITU-T T.81, table B.1: FF D9). The browser's decoder fills what is missing with
 * grey and says nothing. Phones hang further pictures behind the first, so the mark need not be the last thing.
 */
function reachesEnd(jpeg: Uint8Array): boolean {
  for (let i = jpeg.length - 2; i > 1; i--) if (jpeg[i] === 0xff && jpeg[i + 1] === 0xd9) return true;
  return false;
}

/** A PNG ends with the chunk IEND (ISO/IEC 15948, 11.2.5), which is 12 bytes long. */
function hasPngEnd(png: Uint8Array): boolean {
  return String.fromCharCode(...png.subarray(-8, -4)) === 'IEND';
}

/** A WebP states its length in its header (RFC 9649, 2.4). */
function hasWebpLength(webp: Uint8Array): boolean {
  const view = new DataView(webp.buffer, webp.byteOffset, webp.byteLength);
  return view.getUint32(4, true) + 8 <= webp.length;
}

function isWhole({ type, bytes }: PhotoBytes): boolean {
  switch (type) {
    case 'jpeg':
      return reachesEnd(bytes);
    case 'png':
      return hasPngEnd(bytes);
    case 'webp':
      return hasWebpLength(bytes);
    case 'avif':
    case 'heic':
      return hasAllBoxes(bytes);
    case 'tiff':
      return true; // its decoder says so itself
  }
}

/**
 * A picture file as bytes, with its type.
 *
 * @throws InputError where it is empty, no picture of a readable type, or cut off
 */
export async function openPhotoBytes({ name, blob }: PhotoSource): Promise<PhotoBytes> {
  if (blob.size === 0) throw new InputError(name, 'the file is empty (0 bytes)', READABLE_TYPES);
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const type = sniffPhotoType(bytes);
  if (type === null) throw new InputError(name, 'this is not a picture of a readable type', READABLE_TYPES);
  const file = { name, type, bytes };
  if (!isWhole(file)) throw new InputError(name, ...CUT_OFF);
  if (type === 'tiff' && (await isCameraRaw(bytes))) {
    throw new InputError(name, 'this is a camera raw file', 'a JPEG or TIFF developed from it');
  }
  return file;
}
