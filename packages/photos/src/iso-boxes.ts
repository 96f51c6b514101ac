/**
 * Whether the top-level boxes of an ISO base media file (AVIF, HEIC) end where the file ends or before: a file that was
 * cut off ends inside a box.
 */
export function hasAllBoxes(bytes: Uint8Array): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 0;
  while (at + 8 <= bytes.length) {
    const size = view.getUint32(at);
    if (size === 0) return true; // this box reaches to the end of the file, however long it is
    const wide = size === 1; // then a 64-bit size follows the box's name
    if (wide && at + 16 > bytes.length) return false;
    const step = wide ? Number(view.getBigUint64(at + 8)) : size;
    if (step < 8) return false;
    at += step;
  }
  return at <= bytes.length;
}
