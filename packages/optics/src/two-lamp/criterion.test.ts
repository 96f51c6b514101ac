import { describe, expect, test } from 'vitest';
import { isSeparate, requiredDip } from './criterion.js';

describe('criterion', () => {
  test.each([
    ['rayleigh', 0.265],
    ['sparrow', 0],
    [0.5, 0.5],
  ] as const)('%s asks for a dip of %d', (criterion, dip) => {
    expect(requiredDip(criterion)).toBe(dip);
  });

  test('Rayleigh is the valley of two Airy images at the first dark ring, to three digits', () => {
    // 0.7350317: datasets/reference/rayleigh.csv
    expect(Math.abs(requiredDip('rayleigh') - (1 - 0.7350317))).toBeLessThan(5e-4);
  });

  test.each([
    [0, 0, false],
    [1e-9, 0, true],
    [0.265, 0.265, true],
    [0.264, 0.265, false],
  ])('a dip of %d under a requirement of %d: %s', (dip, required, separate) => {
    expect(isSeparate(dip, required)).toBe(separate);
  });

  test('refuses a dip beyond 1', () => {
    expect(() => requiredDip(1.1)).toThrow(/^criterion must lie from 0 to 1, got 1.1/);
  });
});
