import { expect, test } from 'vitest';
import {
  AMOUNT_ON_PAPER,
  CHANGE_ON_PAPER,
  colourAt,
  LAMPLIGHT,
  LOSS_AND_GAIN,
  luminance,
} from './colour-scale.js';

const STEPS = Array.from({ length: 101 }, (_, i) => i / 100);

// WCAG 2.2: black 0, white 1, and the 18 % mid-grey of sRGB 118 (IEC 61966-2-1: ((118/255 + 0.055)/1.055)^2.4 = 0.181).
test.each([
  ['#000000', 0],
  ['#ffffff', 1],
  ['#767676', 0.1812],
])('luminance of %s is %d', (colour, expected) => {
  expect(luminance(colour)).toBeCloseTo(expected, 3);
});

test('lamplight only grows lighter, so it reads without colour vision', () => {
  const light = STEPS.map((share) => luminance(colourAt(LAMPLIGHT, share)));
  for (let i = 1; i < light.length; i++) expect(light[i]!).toBeGreaterThanOrEqual(light[i - 1]!);
  expect(light.at(-1)! / Math.max(light[0]!, 1e-9)).toBeGreaterThan(50);
});

test('loss and gain grow lighter from the middle to both ends', () => {
  const light = STEPS.map((share) => luminance(colourAt(LOSS_AND_GAIN, share)));
  for (let i = 51; i < light.length; i++) expect(light[i]!).toBeGreaterThanOrEqual(light[i - 1]!);
  for (let i = 0; i < 50; i++) expect(light[i]!).toBeGreaterThanOrEqual(light[i + 1]!);
});

test('on white paper, nothing is light and much is dark', () => {
  const amount = STEPS.map((share) => luminance(colourAt(AMOUNT_ON_PAPER, share)));
  const change = STEPS.map((share) => luminance(colourAt(CHANGE_ON_PAPER, share)));
  for (let i = 1; i < STEPS.length; i++) expect(amount[i]!).toBeLessThanOrEqual(amount[i - 1]!);
  for (let i = 51; i < STEPS.length; i++) expect(change[i]!).toBeLessThanOrEqual(change[i - 1]!);
  for (let i = 0; i < 50; i++) expect(change[i]!).toBeLessThanOrEqual(change[i + 1]!);
  for (const lightest of [amount[0]!, change[50]!]) expect(lightest).toBeGreaterThan(0.8);
});

test('ends and outside', () => {
  expect(colourAt(LAMPLIGHT, 0)).toBe(LAMPLIGHT[0]);
  expect(colourAt(LAMPLIGHT, 7)).toBe(LAMPLIGHT.at(-1));
  expect(colourAt(LAMPLIGHT, -1)).toBe(LAMPLIGHT[0]);
});
