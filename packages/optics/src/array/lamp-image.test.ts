import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { absorbingWidthRad, HALF_MAXIMUM_SHIFT } from '../tube/absorbing.js';
import { type ArrayGeometry, tubeOf } from './array.js';
import {
  angularPitch,
  isUndersampled,
  lampSeparationCells,
  lampSpreadCells,
  wellSampledFrontPitchMm,
} from './lamp-image.js';
import { axisSlopes, frontPlace } from './layout.js';

const array: ArrayGeometry = {
  arrangement: 'square',
  rows: 24,
  columns: 30,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const parallel = { ...array, frontPitchMm: 3 };
const width = absorbingWidthRad(tubeOf(array));
const distances = fc.double({ min: 100, max: 20_000, noNaN: true });

describe('lampSeparationCells', () => {
  test('is δ = s(L + A)/((D + L + A)·front pitch)', () => {
    const apexMm = (array.tubeLengthMm * array.backPitchMm) / (array.frontPitchMm - array.backPitchMm);
    const behindFront = array.tubeLengthMm + apexMm;
    fc.assert(
      fc.property(distances, (distanceMm) => {
        const cells = (60 * behindFront) / ((distanceMm + behindFront) * array.frontPitchMm);
        expect(Math.abs(lampSeparationCells(array, 60, distanceMm) / cells - 1)).toBeLessThan(1e-12);
      }),
    );
  });

  test('1/δ is a straight line in D', () => {
    const [a, b, c] = [1000, 2000, 3000].map((distanceMm) => 1 / lampSeparationCells(array, 60, distanceMm));
    expect(b - a).toBeCloseTo(c - b, 12);
  });

  test('two tubes see the lamps their axes go through', () => {
    const distanceMm = 1800;
    const aim = (column: number) =>
      frontPlace(array, 1, column).acrossMm + distanceMm * axisSlopes(array, 1, column).across;
    expect(lampSeparationCells(array, aim(9) - aim(4), distanceMm)).toBeCloseTo(5, 9);
  });
});

describe('angularPitch', () => {
  test('is the angle off its axis at which a tube sees the lamp its neighbour is aimed at', () => {
    const distanceMm = 900;
    const lamp = frontPlace(array, 1, 3).acrossMm + distanceMm * axisSlopes(array, 1, 3).across;
    const direction = (lamp - frontPlace(array, 1, 2).acrossMm) / distanceMm;
    expect(angularPitch(array, distanceMm)).toBeCloseTo(direction - axisSlopes(array, 1, 2).across, 12);
  });

  test('of a far scene is the angle between neighbouring axes, 0 in a parallel array', () => {
    expect(angularPitch(array, Infinity)).toBeCloseTo(1.2 / 150, 12);
    expect(angularPitch(parallel, Infinity)).toBe(0);
  });
});

describe('lampSpreadCells', () => {
  test('of a parallel array tends to the parallel-hole collimator’s resolution far from it', () => {
    const distanceMm = 1e6;
    const spreadMm = lampSpreadCells(parallel, width, distanceMm) * parallel.frontPitchMm;
    // What is left is L/D: the collimator's distance counts from the back.
    // R = d(L + D)/L (Cherry, Sorenson & Phelps, Physics in Nuclear Medicine); round bores: 0.808 R at half maximum.
    const { boreMm, lengthMm } = tubeOf(parallel);
    const resolutionMm = (2 * HALF_MAXIMUM_SHIFT * boreMm * (lengthMm + distanceMm)) / lengthMm;
    expect(Math.abs(spreadMm / resolutionMm - 1)).toBeLessThan(2e-4);
  });

  test('below one cell the array is undersampled, and the front pitch that cures it makes it one', () => {
    const wide = { ...array, frontPitchMm: 8 };
    fc.assert(
      fc.property(distances, (distanceMm) => {
        expect(isUndersampled(wide, width, distanceMm)).toBe(lampSpreadCells(wide, width, distanceMm) < 1);
        const cured = { ...wide, frontPitchMm: wellSampledFrontPitchMm(wide, width, distanceMm) };
        if (cured.frontPitchMm >= cured.backPitchMm) {
          expect(lampSpreadCells(cured, width, distanceMm)).toBeCloseTo(1, 9);
        } else {
          expect(isUndersampled({ ...wide, frontPitchMm: wide.backPitchMm }, width, distanceMm)).toBe(true);
        }
      }),
    );
  });
});

test.each([
  ['spacingMm', () => lampSeparationCells(array, 0, 1000)],
  ['distanceMm', () => lampSeparationCells(array, 60, Number.NaN)],
  ['distanceMm', () => angularPitch(array, 0)],
  ['acceptanceWidthRad', () => lampSpreadCells(array, 0, 1000)],
  ['acceptanceWidthRad', () => wellSampledFrontPitchMm(array, -1, 1000)],
  ['distanceMm', () => wellSampledFrontPitchMm(array, width, -5)],
])('names %s when it is bad', (name, call) => {
  expect(call).toThrow(new RegExp(`^${name} must`));
});
