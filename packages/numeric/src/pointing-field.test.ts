import { type ArrayGeometry, seededRandom, tubeAxis, tubeLayout } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { fitPointingField } from './pointing-field.js';

const COLUMNS = 15;
const TUBES = 12 * COLUMNS;
const PLACES = {
  across: Float64Array.from({ length: TUBES }, (_, n) => n % COLUMNS),
  up: Float64Array.from({ length: TUBES }, (_, n) => -Math.floor(n / COLUMNS)),
};
/** A sag of the grids, slopes: cubic across, a plane upwards. */
const across = Float64Array.from({ length: TUBES }, (_, n) => 1e-5 * ((n % COLUMNS) - 7) ** 3);
const up = Float64Array.from({ length: TUBES }, (_, n) => 0.001 * Math.floor(n / COLUMNS) - 0.002);

describe('fitPointingField', () => {
  test('a smooth sag of the grids is the field, a bent tube isn’t', () => {
    const bent = Float64Array.from(across);
    bent[37] = 0.06;
    bent[90] = Number.NaN;
    const field = fitPointingField(bent, up, PLACES)!;
    for (let n = 0; n < TUBES; n++) {
      expect(Math.abs(field.across[n] - across[n])).toBeLessThan(1e-6);
      expect(Math.abs(field.up[n] - up[n])).toBeLessThan(1e-6);
    }
    expect(field.scatter).toBeLessThan(1e-6);
  });

  /** Known in three patches only, as lamps in three places tell them. */
  const inPatches = (n: number) => {
    const [column, row] = [n % COLUMNS, Math.floor(n / COLUMNS)];
    return [
      [3, 3],
      [11, 3],
      [7, 9],
    ].some(([x, y]) => Math.hypot(column - x!, row - y!) < 2.9);
  };
  const scattered = (seed: number) => {
    const random = seededRandom(seed);
    return across.map(() => 0.001 * random.normal());
  };

  test.each([1, 2, 3, 4, 5])(
    'patches of known tubes, one of them far aside at a rim: it bends nothing (%d)',
    (seed) => {
      const odd = 13; // row 1, column 14: no other known tube near it
      const level = scattered(seed).map((slope, n) => (inPatches(n) ? slope : Number.NaN));
      level[odd] = -0.03;
      const field = fitPointingField(level, level, PLACES)!;
      for (let n = 0; n < TUBES; n++) {
        // A plane through some 70 tubes is certain to a few tenths of their scatter, at the corners too.
        if (inPatches(n) || n === odd) expect(Math.abs(field.across[n])).toBeLessThan(0.001);
      }
    },
  );

  test.each([
    { known: 11, laid: false },
    { known: 12, laid: true },
  ])('$known known tubes: field $laid', ({ known, laid }) => {
    const few = across.map((slope, n) => (n % 13 === 0 && n < 13 * known ? slope : Number.NaN));
    const field = fitPointingField(
      few,
      up.map((slope, n) => (Number.isNaN(few[n]) ? Number.NaN : slope)),
      PLACES,
    );
    expect(field !== null).toBe(laid);
  });

  test('hexagonal: what is smooth over the places is the field, the half pitch between rows included', () => {
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
    const layout = tubeLayout(array);
    // Axes are a plane over the places, a sag is cubic.
    const looks = layout.across.map((place, n) => tubeAxis(array, n).across + 1e-5 * place ** 3);
    const field = fitPointingField(looks, layout.up, layout)!;
    for (let n = 0; n < TUBES; n++) expect(Math.abs(field.across[n] - looks[n])).toBeLessThan(1e-6);
    expect(field.scatter).toBeLessThan(1e-6);
  });
});
