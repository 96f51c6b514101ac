import { expect, test } from 'vitest';
import { student95 } from './student.js';

// scipy 1.17.1, scipy.stats.t.ppf(0.975, freedom).
test.each([
  [3, 3.1824463052837078, 0.002],
  [3.5, 2.9400886379827282, 0.002],
  [5, 2.5705818356363146, 2e-4],
  [10, 2.228138851986274, 1e-5],
  [30, 2.0422724563012378, 1e-6],
  [100, 1.9839715185235518, 1e-6],
])('%d degrees of freedom: %d', (freedom, point, relative) => {
  expect(Math.abs(student95(freedom) / point - 1)).toBeLessThan(relative);
});

test.each([2, Number.NaN])('%d degrees of freedom are refused', (freedom) => {
  expect(() => student95(freedom)).toThrow(/^freedom must/);
});
