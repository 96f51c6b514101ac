import exifr from 'exifr';

const NEW_SUBFILE_TYPE = 0xfe;
const DNG_VERSION = 0xc612;

/**
 * Whether a file with a TIFF's signature is a camera raw file. What a TIFF reader finds first in those is a small
 * preview picture, which must not be measured in the photo's stead.
 *
 * Three marks: the letters CR behind the header; a version of the DNG format; a first directory that calls itself a
 * reduced copy of another (NewSubfileType, bit 0; Adobe, TIFF Revision 6.0, section 8). The first two: from memory.
 */
export async function isCameraRaw(tiff: Uint8Array): Promise<boolean> {
  if (tiff[8] === 0x43 && tiff[9] === 0x52) return true; // CR
  const tags: Record<number, unknown> | undefined = await exifr
    .parse(tiff, {
      ifd0: { pick: [NEW_SUBFILE_TYPE, DNG_VERSION] },
      exif: false,
      gps: false,
      translateKeys: false,
      translateValues: false,
      reviveValues: false,
    })
    .catch(() => undefined); // a directory that can't be read is the decoder's business
  const subfile = tags?.[NEW_SUBFILE_TYPE];
  return tags?.[DNG_VERSION] !== undefined || (typeof subfile === 'number' && subfile % 2 === 1);
}
