import { describe, expect, test } from 'vitest';
import { type ArrayGeometry, requireArray, tubeOf } from './array.js';

const good: ArrayGeometry = {
  arrangement: 'hexagonal',
  shiftedRows: 'even',
  rows: 24,
  columns: 30,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};

describe('requireArray', () => {
  test.each<[string, Partial<ArrayGeometry>]>([
    ['bore as wide as the pitch', { tubeBoreMm: 3 }],
    ['parallel', { frontPitchMm: 3 }],
    ['one tube', { rows: 1, columns: 1 }],
  ])('accepts %s', (_, change) => {
    expect(() => requireArray({ ...good, ...change })).not.toThrow();
  });

  test.each<[RegExp, Partial<ArrayGeometry>]>([
    [/^rows must be a whole number of at least 1, got 0/, { rows: 0 }],
    [/^columns must be a whole number of at least 1, got 2.5/, { columns: 2.5 }],
    [/^tubeLengthMm must be above 0, got 0/, { tubeLengthMm: 0 }],
    [/^tubeBoreMm must not exceed backPitchMm \(3\): the tubes would overlap, got 3.1/, { tubeBoreMm: 3.1 }],
    [
      /^frontPitchMm must not be below backPitchMm \(3\): the tubes would aim inwards.*got 2.9/,
      { frontPitchMm: 2.9 },
    ],
    [/^shiftedRows must be odd or even/, { shiftedRows: undefined }],
  ])('says %s', (message, change) => {
    expect(() => requireArray({ ...good, ...change })).toThrow(message);
  });

  test('its tube', () => {
    expect(tubeOf(good)).toEqual({ boreMm: 2.6, lengthMm: 150 });
  });
});
