import { describe, expect, test } from 'vitest';
import { parseAngleDeg, parseExposureS, parseLengthMm } from './units.js';

// Inch and foot: NIST SP 811 (2008), appendix B.8: 1 in = 2.54 E-02 m, 1 ft = 3.048 E-01 m, both exact.
// The rest follows from the SI prefixes.
const LENGTHS = [
  ['3.2 mm', 3.2],
  ['3.2mm', 3.2],
  ['  12 cm ', 120],
  ['1.8 m', 1800],
  ['1 in', 25.4],
  ['12 in', 304.8],
  ['1 ft', 304.8],
  ['3 ft', 914.4],
  ['-120 mm', -120],
  ['+4 mm', 4],
  ['.5 cm', 5],
  ['1e2 mm', 100],
  ['0 mm', 0],
] as const;

const NO_LENGTHS = [
  '3.2',
  '3,2 mm',
  '1 yd',
  '1 km',
  '3.2 MM',
  'mm',
  '3 2 mm',
  '1 ft 2 in',
  '1e999 mm',
  '',
  '0x10 mm',
];

describe('parseLengthMm', () => {
  test.each(LENGTHS)('%j is %d mm', (text, mm) => {
    expect(Math.abs(parseLengthMm(text)! - mm)).toBeLessThan(1e-9);
  });
  test.each(NO_LENGTHS)('%j is no length', (text) => {
    expect(parseLengthMm(text)).toBeNull();
  });
});

describe('parseAngleDeg', () => {
  test.each([
    ['90 deg', 90],
    ['-12.5deg', -12.5],
    ['0 deg', 0],
  ] as const)('%j is %d°', (text, deg) => {
    expect(parseAngleDeg(text)).toBe(deg);
  });
  test.each(['90', '1 rad', '90 degrees', '90°'])('%j is no angle', (text) => {
    expect(parseAngleDeg(text)).toBeNull();
  });
});

describe('parseExposureS', () => {
  test.each([
    ['1/8 s', 0.125],
    ['1 / 250 s', 0.004],
    ['2.5 s', 2.5],
    ['30s', 30],
  ] as const)('%j is %d s', (text, seconds) => {
    expect(parseExposureS(text)).toBe(seconds);
  });
  test.each(['1/8', '1/0 s', '1//8 s', '125 ms', '1/8/2 s'])('%j is no exposure time', (text) => {
    expect(parseExposureS(text)).toBeNull();
  });
});
