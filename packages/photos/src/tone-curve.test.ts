import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../test/reference-table.js';
import { responseTable, srgbToLinear } from './tone-curve.js';

// IEC 61966-2-1:1999; the file's head tells how its 256 values were checked.
const SRGB = referenceTable('srgb.csv').map(({ code, linear }) => [Number(code), Number(linear)]);

describe('responseTable', () => {
  test('sRGB agrees with the reference table in all 256 codes', () => {
    const table = responseTable('srgb', 256);
    expect(SRGB).toHaveLength(256);
    // The reference has ten decimals.
    for (const [code, linear] of SRGB) expect(Math.abs(table[code] - linear)).toBeLessThan(0.6e-10);
  });

  test('sRGB with 16 bits passes through the 8-bit values at every 257th code', () => {
    const table = responseTable('srgb', 65536);
    for (const [code, linear] of SRGB) expect(Math.abs(table[code * 257] - linear)).toBeLessThan(0.6e-10);
  });

  test.each([256, 1024, 65536])('linear with %i codes runs evenly from 0 to 1', (codes) => {
    const table = responseTable('linear', codes);
    expect(table).toHaveLength(codes);
    expect([table[0], table[codes - 1]]).toEqual([0, 1]);
    expect(table[codes / 4]).toBe(codes / 4 / (codes - 1));
  });

  test('a table of the right length is used as it is, another is refused', () => {
    const table = Float64Array.from({ length: 256 }, (_, code) => (code / 255) ** 2);
    expect(responseTable(table, 256)).toBe(table);
    expect(() => responseTable(table, 65536)).toThrow(
      new RangeError('tone must have 65536 entries, got 256'),
    );
  });
});

describe('srgbToLinear', () => {
  // Both branches of the standard meet at the threshold to within its rounded constants.
  test('has no step at the threshold', () => {
    expect(Math.abs(srgbToLinear(0.04045 + 1e-12) - srgbToLinear(0.04045))).toBeLessThan(1e-8);
  });
});
