import { describe, expect, test } from 'vitest';
import { biweightLocation, biweightScale, madScale, median } from './robust.js';

// Analytical Methods Committee 1989, copper in wholemeal flour, µg/g; printed in Venables & Ripley, MASS,
// 4th ed. 2002, §5.5, with median 3.385 and MAD 0.52632.
const COPPER = [
  2.2, 2.2, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.1, 3.37, 3.4, 3.4, 3.4, 3.5, 3.6, 3.7, 3.7, 3.7, 3.7,
  3.77, 5.28, 28.95,
];
// Tietjen & Moore 1972; NIST/SEMATECH e-Handbook §1.3.5.17.1.
const TIETJEN = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];

// Biweight: a run of astropy 5.2.1 (biweight_location, biweight_scale).
const PUBLISHED = [
  { name: 'copper', values: COPPER, median: 3.385, mad: 0.526324, location: 3.20757193, scale: 0.68065432 },
  {
    name: 'Tietjen',
    values: TIETJEN,
    median: 201.37,
    mad: 1.475189,
    location: 200.92738775,
    scale: 1.37117831,
  },
];

describe('robust location and scale', () => {
  test.each(PUBLISHED)('$name as published', (set) => {
    expect(median(set.values)).toBeCloseTo(set.median, 10);
    expect(Math.abs(madScale(set.values) - set.mad)).toBeLessThan(5e-7);
    expect(Math.abs(biweightLocation(set.values) - set.location)).toBeLessThan(5e-9);
    expect(Math.abs(biweightScale(set.values) - set.scale)).toBeLessThan(5e-9);
  });

  test('values that are not known count for nothing', () => {
    const holed = new Float64Array([Number.NaN, ...COPPER, Number.NaN]);
    expect(median(holed)).toBe(median(COPPER));
    expect(madScale(holed)).toBe(madScale(COPPER));
    expect(biweightScale(holed)).toBe(biweightScale(COPPER));
  });

  test.each([
    { values: [], centre: Number.NaN, scale: Number.NaN },
    { values: [Number.NaN], centre: Number.NaN, scale: Number.NaN },
    { values: [4], centre: 4, scale: 0 },
    { values: [4, 4, 4, 9], centre: 4, scale: 0 },
  ])('$values → $centre ± $scale', ({ values, centre, scale }) => {
    expect(median(values)).toBe(centre);
    expect(biweightLocation(values)).toBe(centre);
    expect(madScale(values)).toBe(scale);
    expect(biweightScale(values)).toBe(scale);
  });
});
