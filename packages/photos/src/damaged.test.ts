import { expect, test } from 'vitest';
import { damaged } from './damaged.js';

test.each<[string, unknown, string]>([
  [
    'a reason',
    new Error('premature end of image'),
    'damaged or cut off (premature end of image); expected the whole',
  ],
  ['the first line only', new Error('bad tile\nat 3'), 'damaged or cut off (bad tile); expected'],
  ['no reason', new Error(''), 'damaged or cut off; expected'],
  ['“Unknown error”', new Error('Unknown error'), 'damaged or cut off; expected'],
  ['no error at all', 'heif: Unknown error', 'damaged or cut off; expected'],
])('a decoder that gives %s', (_, error, says) => {
  expect(damaged('even.heic', error).message).toContain(`even.heic: the picture is ${says}`);
});
