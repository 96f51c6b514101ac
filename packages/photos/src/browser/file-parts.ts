type Bytes = Uint8Array<ArrayBuffer>;

/** A named part of a picture file, from its first byte, head included, to behind its last. */
export interface FilePart {
  /** Four letters; of a JPEG's segment its marker in hexadecimal, such as `e1`. */
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** Where its head ends. */
  readonly body: number;
}

const viewOf = (bytes: Bytes) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const nameAt = (bytes: Bytes, at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));

/** The segments before the first scan of a JPEG (ITU-T T.81, B.1.1.3). */
export function jpegSegments(bytes: Bytes): FilePart[] {
  const view = viewOf(bytes);
  const parts: FilePart[] = [];
  for (let at = 2; at + 4 <= bytes.length && bytes[at] === 0xff; ) {
    const marker = bytes[at + 1]!;
    if (marker === 0xda) break; // the scan begins
    const to = at + 2 + view.getUint16(at + 2);
    parts.push({ name: marker.toString(16), from: at, to, body: at + 4 });
    at = to;
  }
  return parts;
}

/** The chunks of a PNG (PNG, third edition, 5.3). */
export function pngChunks(bytes: Bytes): FilePart[] {
  const view = viewOf(bytes);
  const parts: FilePart[] = [];
  for (let at = 8; at + 12 <= bytes.length; ) {
    const to = at + 12 + view.getUint32(at);
    parts.push({ name: nameAt(bytes, at + 4), from: at, to, body: at + 8 });
    at = to;
  }
  return parts;
}

/** The chunks of a WebP (RFC 9649, 2.3), padded to even lengths. */
export function webpChunks(bytes: Bytes): FilePart[] {
  const view = viewOf(bytes);
  const parts: FilePart[] = [];
  for (let at = 12; at + 8 <= bytes.length; ) {
    const length = view.getUint32(at + 4, true);
    parts.push({ name: nameAt(bytes, at), from: at, to: at + 8 + length, body: at + 8 });
    at += 8 + length + (length % 2);
  }
  return parts;
}

/** The value of a TIFF's tag in its first directory (TIFF 6.0, section 2), where it takes more than four bytes. */
export function tiffValue(bytes: Bytes, tag: number): Bytes | null {
  const little = bytes[0] === 0x49;
  const view = viewOf(bytes);
  const directory = view.getUint32(4, little);
  const entries = view.getUint16(directory, little);
  for (let i = 0; i < entries; i++) {
    const at = directory + 2 + i * 12;
    if (view.getUint16(at, little) !== tag) continue;
    const from = view.getUint32(at + 8, little);
    return bytes.subarray(from, from + view.getUint32(at + 4, little));
  }
  return null;
}
