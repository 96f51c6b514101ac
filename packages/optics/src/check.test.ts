import { describe, expect, test } from 'vitest';
import { requireFinite, requireInside, requireNotNegative, requirePositive, requireWhole } from './check.js';

describe('checks of arguments', () => {
  test.each([
    ['requirePositive', () => requirePositive('x', 1e-300)],
    ['requireNotNegative', () => requireNotNegative('x', 0)],
    ['requireFinite', () => requireFinite('x', -5)],
    ['requireInside, low end', () => requireInside('x', 2, 2, 3)],
    ['requireInside, high end', () => requireInside('x', 3, 2, 3)],
    ['requireWhole', () => requireWhole('x', 4, 4)],
  ])('%s gives a good value back', (_, check) => {
    expect(check).not.toThrow();
  });

  test.each([
    [() => requirePositive('lengthMm', 0), 'lengthMm must be above 0, got 0'],
    [() => requirePositive('lengthMm', Number.NaN), 'lengthMm must be above 0, got NaN'],
    [() => requirePositive('lengthMm', Infinity), 'lengthMm must be above 0, got Infinity'],
    [() => requireNotNegative('mean', -1), 'mean must be 0 or more, got -1'],
    [() => requireFinite('slope', Infinity), 'slope must be a finite number, got Infinity'],
    [() => requireInside('gloss', 1.2, 0, 1), 'gloss must lie from 0 to 1, got 1.2'],
    [() => requireInside('gloss', Number.NaN, 0, 1), 'gloss must lie from 0 to 1, got NaN'],
    [() => requireWhole('rays', 2.5, 1), 'rays must be a whole number of at least 1, got 2.5'],
    [() => requireWhole('rays', 0, 1), 'rays must be a whole number of at least 1, got 0'],
  ])('case %#: %s', (check, message) => {
    expect(check).toThrow(new RangeError(message));
  });
});
