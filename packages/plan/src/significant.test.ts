import { expect, test } from 'vitest';
import { significant } from './significant.js';

test.each([
  [48.6, 1, '50'],
  [123.4, 2, '120'],
  [3.04, 2, '3.0'],
  [0.034, 1, '0.03'],
  [12345, 3, '12300'],
])('%f to %i digits: %s', (value, digits, text) => {
  expect(significant(value, digits)).toBe(text);
});
