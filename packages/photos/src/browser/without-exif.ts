type Bytes = Uint8Array<ArrayBuffer>;

/** A part of a file, from its first byte to behind its last. */
interface Part {
  readonly from: number;
  readonly to: number;
}

const viewOf = (bytes: Bytes) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const nameAt = (bytes: Bytes, at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));

/** The APP1 segments before the first scan (ITU-T T.81, B.1.1.3; Exif 2.3, 4.5.2): EXIF and XMP. */
function jpegParts(bytes: Bytes): Part[] {
  const view = viewOf(bytes);
  const parts: Part[] = [];
  for (let at = 2; at + 4 <= bytes.length && bytes[at] === 0xff; ) {
    const marker = bytes[at + 1];
    if (marker === 0xda) break; // the scan begins
    const to = at + 2 + view.getUint16(at + 2);
    if (marker === 0xe1) parts.push({ from: at, to });
    at = to;
  }
  return parts;
}

/** The chunk eXIf (PNG, third edition, 11.3.4.5). */
function pngParts(bytes: Bytes): Part[] {
  const view = viewOf(bytes);
  const parts: Part[] = [];
  for (let at = 8; at + 12 <= bytes.length; ) {
    const to = at + 12 + view.getUint32(at);
    if (nameAt(bytes, at + 4) === 'eXIf') parts.push({ from: at, to });
    at = to;
  }
  return parts;
}

/** The same WebP with its EXIF chunk under a name that no decoder looks for (RFC 9649, 2.7.1.5). */
function webpWithout(bytes: Bytes): Bytes {
  const view = viewOf(bytes);
  const changed = bytes.slice();
  for (
    let at = 12;
    at + 8 <= bytes.length;
    at += 8 + view.getUint32(at + 4, true) + (view.getUint32(at + 4, true) % 2)
  ) {
    if (nameAt(bytes, at) === 'EXIF') changed.set([0x6e, 0x6f, 0x6e, 0x65], at); // "none"
  }
  return changed;
}

/** A picture file without its EXIF block, so that no decoder turns it. */
export function withoutExif(bytes: Bytes, type: 'jpeg' | 'png' | 'webp'): Bytes {
  if (type === 'webp') return webpWithout(bytes);
  const parts = type === 'jpeg' ? jpegParts(bytes) : pngParts(bytes);
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
