import { axisSlopes, type ArrayGeometry } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { fitPointingField } from './pointing-field.js';

const COLUMNS = 15;
const TUBES = 12 * COLUMNS;
/** A sag of the grids, slopes: cubic across, a plane upwards. */
const across = Float64Array.from({ length: TUBES }, (_, n) => 1e-5 * ((n % COLUMNS) - 7) ** 3);
const up = Float64Array.from({ length: TUBES }, (_, n) => 0.001 * Math.floor(n / COLUMNS) - 0.002);

describe('fitPointingField', () => {
  test('a smooth sag of the grids is the field, a bent tube isn’t', () => {
    const bent = Float64Array.from(across);
    bent[37] = 0.06;
    bent[90] = Number.NaN;
    const field = fitPointingField(bent, up, COLUMNS)!;
    for (let n = 0; n < TUBES; n++) {
      expect(Math.abs(field.across[n] - across[n])).toBeLessThan(1e-6);
      expect(Math.abs(field.up[n] - up[n])).toBeLessThan(1e-6);
    }
    expect(field.scatter).toBeLessThan(1e-6);
  });

  test.each([
    { known: 11, laid: false },
    { known: 12, laid: true },
  ])('$known known tubes: field $laid', ({ known, laid }) => {
    const few = across.map((slope, n) => (n % 13 === 0 && n < 13 * known ? slope : Number.NaN));
    const field = fitPointingField(
      few,
      up.map((slope, n) => (Number.isNaN(few[n]) ? Number.NaN : slope)),
      COLUMNS,
    );
    expect(field !== null).toBe(laid);
  });

  describe('hexagonal', () => {
    const array: ArrayGeometry = {
      arrangement: 'hexagonal',
      shiftedRows: 'even',
      rows: 12,
      columns: COLUMNS,
      tubeLengthMm: 150,
      tubeBoreMm: 2.6,
      backPitchMm: 3,
      frontPitchMm: 4.2,
    };
    const axes = Array.from({ length: TUBES }, (_, n) =>
      axisSlopes(array, Math.floor(n / COLUMNS) + 1, (n % COLUMNS) + 1),
    );
    /** Tubes of grids that sag: where they look, axes and sag together. */
    const looks = axes.map((axis, n) => axis.across + across[n]);

    test('off the stated axes the sag is all that is left', () => {
      const departures = Float64Array.from(looks, (slope, n) => slope - axes[n].across);
      const field = fitPointingField(departures, up, COLUMNS)!;
      for (let n = 0; n < TUBES; n++) expect(Math.abs(field.across[n] - across[n])).toBeLessThan(1e-6);
      expect(field.scatter).toBeLessThan(1e-6);
    });

    test('the axes themselves are no smooth field: half a pitch to and fro is left', () => {
      const { scatter } = fitPointingField(Float64Array.from(looks), up, COLUMNS)!;
      // Rows lie a quarter of a pitch to either side of their mean: (4.2 − 3)/150/4 = 0.002 along one of two axes, and
      // 1.4826 of it as the scale of a normal scatter.
      expect(Math.abs(scatter / ((0.002 * 1.4826) / Math.SQRT2) - 1)).toBeLessThan(0.1);
    });
  });
});
