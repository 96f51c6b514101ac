/**
 * A picture as a NumPy file of 32-bit floats, rows × columns, little-endian.
 *
 * Source: NumPy enhancement proposal 1, "A Simple File Format for NumPy Arrays", version 1.0.
 */
export function npyFile(light: Float32Array, width: number, height: number): Uint8Array {
  const fields = `{'descr': '<f4', 'fortran_order': False, 'shape': (${height}, ${width}), }`;
  const before = 10;
  const length = Math.ceil((before + fields.length + 1) / 64) * 64 - before;
  const file = new Uint8Array(before + length + 4 * light.length);
  const view = new DataView(file.buffer);
  file.set([0x93, ...new TextEncoder().encode('NUMPY'), 1, 0]);
  view.setUint16(8, length, true);
  file.set(new TextEncoder().encode(`${fields.padEnd(length - 1)}\n`), before);
  light.forEach((value, n) => {
    view.setFloat32(before + length + 4 * n, value, true);
  });
  return file;
}
