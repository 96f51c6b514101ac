import { describe, expect, test } from 'vitest';
import { integrate } from '../integrate.js';
import { absorbingTransmission, absorbingWidthRad, circleOverlap } from './absorbing.js';
import { absorbingAcceptance } from './absorbing-acceptance.js';
import { absorbingEvenThroughput } from './view-factor.js';

const TUBES = [
  { boreMm: 1, lengthMm: 30 },
  { boreMm: 0.4, lengthMm: 60 },
];
const DEGREE = Math.PI / 180;

describe('absorbingTransmission', () => {
  // Only u = L·slope/d matters. Answers: circle geometry and published constants.
  test.each([
    { u: 0, share: 1, from: 'along the axis' },
    { u: 0.8079455065990344 / 2, share: 0.5, from: 'OEIS A133741, unit discs sharing half their area' },
    { u: 1 / 2, share: 2 / 3 - Math.sqrt(3) / (2 * Math.PI), from: 'each circle through the other centre' },
    { u: Math.SQRT1_2, share: 0.181690113816209, from: 'OEIS A258146, 1/2 - 1/pi' },
    { u: 1, share: 0, from: 'cut-off' },
    { u: 3, share: 0, from: 'beyond the cut-off' },
  ])('u = $u gives $share ($from)', ({ u, share }) => {
    for (const tube of TUBES) {
      for (const side of [1, -1]) {
        const slope = (side * u * tube.boreMm) / tube.lengthMm;
        expect(Math.abs(absorbingTransmission(slope, tube) - share)).toBeLessThan(1e-12);
      }
    }
  });

  // Modulation transfer of a diffraction-limited round aperture, the same expression: Goodman, Introduction to
  // Fourier Optics; six digits.
  test.each([
    [0.1, 0.872889],
    [0.2, 0.74706],
    [0.3, 0.623838],
    [0.6, 0.284757],
    [0.8, 0.104088],
    [0.9, 0.037386],
  ])('u = %d gives %d', (u, share) => {
    expect(Math.abs(circleOverlap(u) - share)).toBeLessThan(5.1e-7);
  });

  test.each([
    ['boreMm', 0.1, { boreMm: 0, lengthMm: 30 }],
    ['lengthMm', 0.1, { boreMm: 1, lengthMm: Number.NaN }],
    ['slope', Infinity, { boreMm: 1, lengthMm: 30 }],
  ])('names %s when it is bad', (name, slope, tube) => {
    expect(() => absorbingTransmission(slope, tube)).toThrow(new RegExp(`^${name} must`));
  });
});

describe('absorbingWidthRad', () => {
  // L/d, full width at half maximum in degrees: numerical root in another program (scipy).
  test.each([
    [5, 9.23831],
    [10, 4.62667],
    [20, 2.31428],
    [30, 1.54297],
    [60, 0.771519],
  ])('L/d = %d', (ratio, widthDeg) => {
    const tube = { boreMm: 2, lengthMm: 2 * ratio };
    expect(Math.abs(absorbingWidthRad(tube) / DEGREE / widthDeg - 1)).toBeLessThan(1e-6);
  });
});

describe('absorbingAcceptance', () => {
  test.each(TUBES)('summed over even light it is the view factor of two disks: %o', (tube) => {
    // Two closed forms that share nothing: ∫ T(u) sin 2θ dθ against Howell's configuration factor C-40.
    const acceptance = absorbingAcceptance(tube);
    const cutOff = Math.atan(tube.boreMm / tube.lengthMm);
    // θ = cut-off × (1 − x²) makes the integrand smooth at the cut-off.
    const sum = integrate(
      (x) => {
        const theta = cutOff * (1 - x * x);
        return acceptance.at(0, Math.tan(theta)) * Math.sin(2 * theta) * 2 * cutOff * x;
      },
      0,
      1,
    );
    expect(Math.abs(sum / absorbingEvenThroughput(tube) - 1)).toBeLessThan(1e-7);
    expect(acceptance.evenThroughput).toBe(absorbingEvenThroughput(tube));
  });

  test('is round', () => {
    const { at } = absorbingAcceptance(TUBES[0]);
    expect(Math.abs(at(0.006, -0.008) - at(0.01, 0))).toBeLessThan(1e-12);
  });
});
