import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../../test/reference-table.js';
import { pairDip } from './pair-dip.js';

const gauss = (x: number) => Math.exp((-x * x) / 2);
const slit = (x: number) => (x === 0 ? 1 : (Math.sin(Math.PI * x) / (Math.PI * x)) ** 2);
/** Light in the image of a round aperture; J1 by its integral, (1/π)∫cos(t − x sin t) dt, exact to rounding. */
const airy = (place: number) => {
  const x = Math.PI * place;
  if (Math.abs(x) < 1e-6) return 1;
  let sum = 0;
  for (let i = 0; i < 64; i++) {
    const t = (2 * Math.PI * (i + 0.5)) / 64;
    sum += Math.cos(t - x * Math.sin(t));
  }
  return ((2 * (sum / 64)) / x) ** 2;
};

const SHAPES = {
  gauss: { response: gauss, width: 2.354820045 },
  airy: { response: airy, width: 1.02899397 },
  slit: { response: slit, width: 0.8858929 },
};

describe('pairDip', () => {
  // Separations in σ (gauss) or λ/D; values of another program (scipy), anchored by Rayleigh's 0.735 and 8/π² and
  // Sparrow's flat top: datasets/reference/rayleigh.csv.
  test.each(referenceTable('rayleigh.csv'))('$kind at $separation $note', (row) => {
    const { response, width } = SHAPES[row.kind as keyof typeof SHAPES];
    const pair = pairDip(response, Number(row.separation), width);
    expect(Math.abs(pair.dip - (1 - Number(row.valley_over_peak)))).toBeLessThan(1e-7);
    expect(Math.abs(pair.valley - Number(row.valley))).toBeLessThan(1e-6);
    expect(Math.abs(pair.peaks[0] - Number(row.peak))).toBeLessThan(1e-6);
    expect(Math.abs(pair.peaks[1] - Number(row.peak))).toBeLessThan(1e-6);
  });

  test('slits at the Rayleigh separation: 1 − 8/π²', () => {
    expect(Math.abs(pairDip(slit, 1, SHAPES.slit.width).dip - (1 - 8 / Math.PI ** 2))).toBeLessThan(1e-9);
  });

  // Separations in σ at which valley ÷ true peak has this value: root of the closed form in another program (scipy).
  test.each([
    [0.735, 2.79941],
    [0.8106, 2.63604],
    [0.5, 3.32535],
    [0.9, 2.42734],
  ])('gaussians fall to %d at %d σ', (ratio, separation) => {
    expect(Math.abs(pairDip(gauss, separation, SHAPES.gauss.width).dip - (1 - ratio))).toBeLessThan(1e-5);
  });

  test('knows no unit and no origin', () => {
    const scale = fc.double({ min: 0.01, max: 100, noNaN: true });
    const shift = fc.double({ min: -0.5, max: 0.5, noNaN: true });
    fc.assert(
      fc.property(scale, shift, (unit, offset) => {
        const moved = pairDip((x) => 7 * gauss(x / unit - offset), 3 * unit, SHAPES.gauss.width * unit);
        expect(Math.abs(moved.dip - (1 - 0.64178298))).toBeLessThan(1e-6);
        expect(Math.abs(moved.valley - 7 * 0.64930493)).toBeLessThan(1e-5);
      }),
      { numRuns: 30 },
    );
  });

  test('a lopsided response: both peaks are found, the dip refers to the lesser', () => {
    // Steep on the left, slow on the right: the right lamp's peak stands on the left lamp's tail.
    const lopsided = (x: number) => (x < 0 ? Math.exp(-8 * x * x) : Math.exp((-x * x) / 2));
    const { dip, peaks, valley } = pairDip(lopsided, 2, 1.6);
    expect(peaks[1]).toBeGreaterThan(peaks[0]);
    expect(dip).toBeCloseTo(1 - valley / peaks[0], 12);
    expect(dip).toBeGreaterThan(0);
  });

  test('one place, one peak: no dip', () => {
    expect(pairDip(gauss, 0, 2.35)).toMatchObject({ dip: 0 });
  });

  test('far apart: fully separate', () => {
    for (const separation of [30, 3000]) {
      expect(pairDip(gauss, separation, 2.35).dip).toBe(1);
      expect(pairDip(gauss, separation, 2.35).peaks[1]).toBeCloseTo(1, 12);
    }
  });

  test('no light, no dip', () => {
    expect(pairDip(() => 0, 3, 1)).toEqual({ dip: 0, valley: 0, peaks: [0, 0] });
  });

  test.each([
    ['separation', () => pairDip(gauss, -1, 1)],
    ['width', () => pairDip(gauss, 1, 0)],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
