import { describe, expect, test } from 'vitest';
import { evaluateSplines, splineCount, splineValues } from './splines.js';

const KNOTS = Float64Array.of(0, 1, 2, 3, 4, 5, 6, 7);

describe('cubic B-splines', () => {
  // Away from the ends, on even knots: (1, 4, 1)/6 at a knot, (1, 23, 23, 1)/48 halfway; de Boor 1978, ch. X.
  test.each([
    { place: 4, values: [1 / 6, 4 / 6, 1 / 6, 0], derivatives: [-1 / 2, 0, 1 / 2, 0] },
    { place: 3.5, values: [1 / 48, 23 / 48, 23 / 48, 1 / 48], derivatives: [-1 / 8, -5 / 8, 5 / 8, 1 / 8] },
  ])('at $place', ({ place, values, derivatives }) => {
    const found = splineValues();
    evaluateSplines(KNOTS, place, found);
    values.forEach((value, j) => {
      expect(found.values[j]).toBeCloseTo(value, 12);
    });
    derivatives.forEach((value, j) => {
      expect(found.derivatives[j]).toBeCloseTo(value, 12);
    });
  });

  test.each([0, 0.3, 1, 2.7, 6.9, 7])('add up to 1 everywhere, uneven knots too: at %d', (place) => {
    const uneven = Float64Array.of(0, 0.1, 0.7, 2, 3.5, 7);
    const found = splineValues();
    evaluateSplines(uneven, place, found);
    expect(found.values.reduce((sum, value) => sum + value)).toBeCloseTo(1, 12);
    expect(found.derivatives.reduce((sum, value) => sum + value)).toBeCloseTo(0, 12);
    expect(found.first + found.values.length).toBeLessThanOrEqual(splineCount(uneven));
  });
});
