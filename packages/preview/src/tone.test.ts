import { expect, test } from 'vitest';
import { referenceTable } from '../../../test/reference-table.js';
import { srgbTone } from './tone.js';

test('undoes the decoding of all 256 codes', () => {
  // datasets/reference/srgb.csv, light to 10 digits
  for (const { code, linear } of referenceTable('srgb.csv')) {
    expect(255 * srgbTone(Number(linear))).toBeCloseTo(Number(code), 4);
  }
});

test('clips what is darker than black and brighter than white', () => {
  expect(srgbTone(-0.1)).toBe(0);
  expect(srgbTone(1.1)).toBeCloseTo(1, 12);
});
