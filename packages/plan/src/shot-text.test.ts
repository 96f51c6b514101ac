import type { Shot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { shotText } from './plan-text.js';

const PAIR = { photo: 'a.jpg', stated: {}, kind: 'pair', spacingMm: 60, distanceMm: 1800 } as const;
const LAMP = { photo: 'a.jpg', stated: {}, kind: 'lamp', distanceMm: 970 } as const;

describe('shotText', () => {
  test.each<[Shot, string]>([
    [
      { ...PAIR, turnedDeg: 0, acrossMm: 0, upMm: 0 },
      'two lamps 60 mm apart, side by side, 1.8 m away, straight ahead',
    ],
    [
      { ...PAIR, turnedDeg: 90, acrossMm: 12, upMm: 0 },
      'two lamps 60 mm apart, one above the other, 1.8 m away, 12 mm to the right',
    ],
    [
      { ...PAIR, turnedDeg: 30, acrossMm: 0, upMm: -5 },
      'two lamps 60 mm apart, turned by 30°, 1.8 m away, 5 mm down',
    ],
    [{ ...LAMP, acrossMm: -48, upMm: 32 }, 'one lamp 970 mm away, 48 mm to the left and 32 mm up'],
    [{ ...LAMP, acrossMm: 0, upMm: 0 }, 'one lamp 970 mm away, straight ahead'],
    [
      { photo: 'a.jpg', stated: {}, kind: 'single', row: 3, column: 5 },
      'one tube alone: row 3, column 5 seen from the back',
    ],
    [{ photo: 'a.jpg', stated: {}, kind: 'single', row: 0, column: 0 }, 'one tube alone, whichever you like'],
  ])('%o', (shot, text) => {
    expect(shotText(shot)).toBe(text);
  });
});
