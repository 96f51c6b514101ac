type Bytes = Uint8Array<ArrayBuffer>;

const ORIENTATION = 274;
const ENTRY_BYTES = 12;

/**
 * The orientation of a TIFF, and the same file with orientation 1, which its decoder insists on.
 * Source: TIFF 6.0, section 2 (header, directory of 12-byte entries) and tag 274.
 */
export function uprightTiff(bytes: Bytes): { readonly orientation: number; readonly upright: Bytes } {
  const little = bytes[0] === 0x49;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const directory = view.getUint32(4, little);
  const entries = view.getUint16(directory, little);
  for (let i = 0; i < entries; i++) {
    const at = directory + 2 + i * ENTRY_BYTES;
    if (view.getUint16(at, little) !== ORIENTATION) continue;
    const upright = bytes.slice();
    new DataView(upright.buffer).setUint16(at + 8, 1, little);
    return { orientation: view.getUint16(at + 8, little), upright };
  }
  return { orientation: 1, upright: bytes };
}
