import { jpegSegments, pngChunks, tiffValue, webpChunks } from './file-parts.js';
import type { PhotoBytes } from './photo-bytes.js';

type Bytes = Uint8Array<ArrayBuffer>;

/** TIFF's tag of the profile (ICC.1:2022, B.4). */
const TIFF_TAG = 34675;
/** "ICC_PROFILE", a zero, the part's number and how many there are (ICC.1:2022, B.4, for JPEG). */
const JPEG_NAME = 'ICC_PROFILE\0';
const JPEG_HEAD = JPEG_NAME.length + 2;

const textAt = (bytes: Bytes, from: number, length: number) =>
  String.fromCharCode(...bytes.subarray(from, from + length));

async function joined(parts: readonly Bytes[]): Promise<Bytes> {
  return new Uint8Array(await new Blob([...parts]).arrayBuffer());
}

function fromJpeg(bytes: Bytes): Promise<Bytes> | null {
  const parts = jpegSegments(bytes)
    .filter(({ name, body }) => name === 'e2' && textAt(bytes, body, JPEG_NAME.length) === JPEG_NAME)
    .sort((a, b) => bytes[a.body + JPEG_NAME.length]! - bytes[b.body + JPEG_NAME.length]!)
    .map(({ body, to }) => bytes.subarray(body + JPEG_HEAD, to));
  return parts.length === 0 ? null : joined(parts);
}

/** The chunk iCCP: a name, two zeros, the profile deflated (PNG, third edition, 11.3.2.3). */
async function fromPng(bytes: Bytes): Promise<Bytes | null> {
  const chunk = pngChunks(bytes).find(({ name }) => name === 'iCCP');
  if (!chunk) return null;
  const deflated = bytes.subarray(bytes.indexOf(0, chunk.body) + 2, chunk.to - 4);
  const stream = new Blob([deflated]).stream().pipeThrough(new DecompressionStream('deflate'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

function fromWebp(bytes: Bytes): Bytes | null {
  const chunk = webpChunks(bytes).find(({ name }) => name === 'ICCP');
  return chunk ? bytes.subarray(chunk.body, chunk.to) : null;
}

/** The kinds of box colr that hold a profile: any, and a plain one (ISO/IEC 14496-12, 12.1.5). */
const COLOUR_BOXES = ['colrprof', 'colrrICC'];

/** The profile's box, wherever it is: its eight letters stand nowhere else. */
function fromBoxes(bytes: Bytes): Bytes | null {
  for (let at = bytes.indexOf(0x63); at >= 4; at = bytes.indexOf(0x63, at + 1)) {
    if (!COLOUR_BOXES.includes(textAt(bytes, at, 8))) continue;
    const size = new DataView(bytes.buffer, bytes.byteOffset).getUint32(at - 4);
    return bytes.subarray(at + 8, at - 4 + size);
  }
  return null;
}

function find({ type, bytes }: PhotoBytes): Promise<Bytes | null> | Bytes | null {
  switch (type) {
    case 'jpeg':
      return fromJpeg(bytes);
    case 'png':
      return fromPng(bytes);
    case 'webp':
      return fromWebp(bytes);
    case 'tiff':
      return tiffValue(bytes, TIFF_TAG);
    case 'avif':
    case 'heic':
      return fromBoxes(bytes);
  }
}

/** The colour profile that a picture file carries; null where there is none, or it can't be read. */
export async function iccProfile(file: PhotoBytes): Promise<Bytes | null> {
  try {
    return await find(file);
  } catch {
    return null; // it spoils no pixel
  }
}
