import { describe, expect, test } from 'vitest';
import {
  exposure,
  interval,
  lengthM,
  listed,
  partPercent,
  plusMinus,
  ratioPlusMinus,
  significant,
} from './quantity.js';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('plusMinus', () => {
  // One digit of the uncertainty, two where it starts with 1; the value to the same decimal. Common practice, no source.
  test.each([
    [0.982, 0.006, '', '0.982 ± 0.006'],
    [3.1234, 0.0149, 'm', '3.123 ± 0.015 m'],
    [2.5, 0.1, '', '2.50 ± 0.10'],
    [74.94, 0.96, '%', '74.9 ± 1.0 %'],
    [-6.12, 0.03, '°', '−6.12 ± 0.03°'],
    [1234.5, 27, '', '1235 ± 27'],
    [-0.001, 0.04, '', '0.00 ± 0.04'],
    [0.5, null, '', '0.500 (uncertainty not known)'],
    // Four digits at the most: then the uncertainty is one unit of the last place.
    [1.60893, 0.00091, '%', '1.609 ± 0.001 %'],
    [0.0606, 0.0019, '%', '0.0606 ± 0.0019 %'],
    [20871, 3, '', '20871 ± 3'],
  ])('%d, %d %s → %s', (value, uncertainty, unit, text) => {
    expect(plain(plusMinus(value, uncertainty, unit))).toBe(text);
  });
});

test.each([
  [0.6, '60 %'],
  [0.032, '3.2 %'],
  [0, '0 %'],
  [1, '100 %'],
  // Where something is missing it is said.
  [718 / 720, '99.7 %'],
  [0.99996, '99.996 %'],
])('a part of %d reads %s', (share, text) => {
  expect(plain(partPercent(share))).toBe(text);
});

test.each([
  [0.9604, 0.00108, '0.960 ± 0.001'],
  [0.006, 0.00008, '0.006 ± 0.001'],
  [0.411, 0.0102, '0.411 ± 0.010'],
  [0, 0.00001, '0.000 ± 0.001'],
  [0.32, null, '0.320 (uncertainty not known)'],
])('a ratio of %d ± %d reads %s', (value, uncertainty, text) => {
  expect(plain(ratioPlusMinus(value, uncertainty))).toBe(text);
});

test.each([
  [3.01231, 3.01243, '3.012 to 3.012 m'],
  [3.0123, 3.2399, '3.01 to 3.24 m'],
  [0.98, 1.31, '0.98 to 1.31 m'],
  [10, 14.2, '10 to 14 m'],
])('interval %d to %d reads %s', (low, high, text) => {
  expect(plain(interval(low, high, 'm'))).toBe(text);
});

test.each([
  [0.000312, 2, '0.00031'],
  [51.4, 2, '51'],
  [1234, 2, '1234'],
  [0.97, 1, '1'],
  [9.96, 2, '10'],
  [3.04, 2, '3.0'],
  [-0.0347, 1, '−0.03'],
  [0, 3, '0'],
])('%d with %i significant digits reads %s', (value, digits, text) => {
  expect(significant(value, digits)).toBe(text);
});

test('lengths, exposures and lists read as people say them', () => {
  expect(plain(lengthM(0.06))).toBe('60 mm');
  expect(plain(lengthM(1.8))).toBe('1.8 m');
  expect(plain(exposure(0.125))).toBe('1/8 s');
  expect(plain(exposure(2.5))).toBe('2.5 s');
  expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
});
