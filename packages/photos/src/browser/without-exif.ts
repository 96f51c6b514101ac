import { jpegSegments, pngChunks, webpChunks } from './file-parts.js';

type Bytes = Uint8Array<ArrayBuffer>;

/** The same WebP with its EXIF chunk under a name that no decoder looks for (RFC 9649, 2.7.1.5). */
function webpWithout(bytes: Bytes): Bytes {
  const changed = bytes.slice();
  for (const { name, from } of webpChunks(bytes)) {
    if (name === 'EXIF') changed.set([0x6e, 0x6f, 0x6e, 0x65], from); // "none"
  }
  return changed;
}

/** A JPEG's APP1 segments hold EXIF and XMP (Exif 2.3, 4.5.2), a PNG's chunk eXIf the former. */
const partsOf = (bytes: Bytes, type: 'jpeg' | 'png') =>
  type === 'jpeg'
    ? jpegSegments(bytes).filter(({ name }) => name === 'e1')
    : pngChunks(bytes).filter(({ name }) => name === 'eXIf');

/** A picture file without its EXIF block, so that no decoder turns it. */
export function withoutExif(bytes: Bytes, type: 'jpeg' | 'png' | 'webp'): Bytes {
  if (type === 'webp') return webpWithout(bytes);
  const parts = partsOf(bytes, type);
  const kept = new Uint8Array(bytes.length - parts.reduce((sum, { from, to }) => sum + to - from, 0));
  let read = 0;
  let written = 0;
  for (const { from, to } of [...parts, { from: bytes.length, to: bytes.length }]) {
    kept.set(bytes.subarray(read, from), written);
    written += from - read;
    read = to;
  }
  return kept;
}
