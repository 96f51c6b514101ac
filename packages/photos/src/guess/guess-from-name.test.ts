import { expect, test } from 'vitest';
import { guessFromName } from './guess-from-name.js';

const NOTHING = { kind: null, distanceMm: null, row: null, column: null };

// Names as a person may give them; what they mean is read off by eye.
test.each([
  ['dark-01.jpg', { ...NOTHING, kind: 'dark' }],
  ['EVEN.JPG', { ...NOTHING, kind: 'even' }],
  ['white wall 2.png', { ...NOTHING, kind: 'even' }],
  ['bare sheet.tif', { ...NOTHING, kind: 'bare' }],
  ['pair-1.8m.jpg', { ...NOTHING, kind: 'pair', distanceMm: 1800 }],
  ['pair_lamps_180cm_2.jpg', { ...NOTHING, kind: 'pair', distanceMm: 1800 }],
  ['pair 2,5m.jpg', { ...NOTHING, kind: 'pair', distanceMm: 2500 }],
  ['pair-60mm-1.8m.jpg', { ...NOTHING, kind: 'pair' }],
  ['lamp-01.jpg', { ...NOTHING, kind: 'lamp' }],
  ['sweep 6ft 3.jpg', { ...NOTHING, kind: 'lamp', distanceMm: expect.closeTo(1828.8, 6) }],
  ['single-r12c7.jpg', { ...NOTHING, kind: 'single', row: 12, column: 7 }],
  ['row 3 column 17.jpg', { ...NOTHING, kind: 'single', row: 3, column: 17 }],
  ['IMG_2041.jpg', NOTHING],
  ['P1010052.JPG', NOTHING],
])('%s', (name, guess) => {
  expect(guessFromName(name)).toEqual(guess);
});
