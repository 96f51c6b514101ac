/** The kinds of picture file that can be read. */
export type PhotoType = 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'heic';

/** Phrase for messages: what can be read. */
export const READABLE_TYPES = 'a JPEG, PNG, TIFF, WebP, AVIF or HEIC photo';

/** How many bytes of a file `sniffPhotoType` looks at. */
export const SNIFFED_BYTES = 64;

const AVIF_BRANDS = ['avif', 'avis'];
const HEIC_BRANDS = ['heic', 'heix', 'hevc', 'hevx', 'mif1', 'msf1'];

function ascii(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}

/** Major brand and compatible brands of an ISO base media file (ISO/IEC 14496-12, box `ftyp`). */
function isoBrands(bytes: Uint8Array): string[] {
  const boxSize = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(0);
  const end = Math.min(boxSize, bytes.length);
  const brands = [ascii(bytes, 8, 12)];
  for (let at = 16; at + 4 <= end; at += 4) brands.push(ascii(bytes, at, at + 4));
  return brands;
}

/**
 * What kind of picture a file holds, by its first bytes; its name is not asked, because phones and chat programs
 * rename freely.
 *
 * Camera raw files that wear a TIFF's signature are told apart later, see `isCameraRaw`.
 *
 * @param bytes - the first `SNIFFED_BYTES` bytes, or the whole file
 * @returns null for anything else
 */
export function sniffPhotoType(bytes: Uint8Array): PhotoType | null {
  if (bytes.length < 16) return null;
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return 'jpeg';
  if (ascii(bytes, 0, 8) === '\x89PNG\r\n\x1a\n') return 'png';
  const tiffMark = ascii(bytes, 0, 4);
  if (tiffMark === 'II*\0' || tiffMark === 'MM\0*') return 'tiff';
  if (tiffMark === 'RIFF' && ascii(bytes, 8, 12) === 'WEBP') return 'webp';
  if (ascii(bytes, 4, 8) === 'ftyp') {
    const brands = isoBrands(bytes);
    if (brands.some((brand) => AVIF_BRANDS.includes(brand))) return 'avif';
    if (brands.some((brand) => HEIC_BRANDS.includes(brand))) return 'heic';
  }
  return null;
}
