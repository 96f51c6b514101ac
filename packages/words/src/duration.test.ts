import { expect, test } from 'vitest';
import { duration, durationPlusMinus } from './duration.js';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');

test.each([
  [0.5, '0.5 s'],
  [90, '90 s'],
  [119, '119 s'],
  [120, '2 min'],
  [180, '3 min'],
  [7199, '120 min'],
  [9000, '2.5 h'],
])('%d s is said as %s', (seconds, says) => {
  expect(plain(duration(seconds))).toBe(says);
});

test('a rough one has few digits', () => {
  expect(plain(duration(2268, 2))).toBe('38 min');
});

test('an uncertainty comes in the same unit', () => {
  expect(plain(durationPlusMinus(2268, 32))).toBe('37.8 ± 0.5 min');
  expect(plain(durationPlusMinus(2268, null))).toBe('37.8 min (uncertainty not known)');
});
