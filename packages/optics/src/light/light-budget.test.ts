import { describe, expect, test } from 'vitest';
import type { ArrayGeometry } from '../array/array.js';
import { absorbingEvenThroughput } from '../tube/view-factor.js';
import { effectiveFNumber, openAreaFraction, scaledExposureS, stopsBetween } from './light-budget.js';

describe('effectiveFNumber', () => {
  // The lens illuminance formula read backwards: E/(π·radiance) of a lens at f/N, 1/(4N²) with the sine condition.
  test.each([1, 1.4, 2, 2.8, 4, 5.6, 8, 16])('a lens at f/%d is what it is', (n) => {
    expect(effectiveFNumber(1 / (4 * n * n)).sine).toBeCloseTo(n, 12);
    expect(effectiveFNumber(1 / (4 * n * n + 1)).thinLens).toBeCloseTo(n, 12);
  });

  // A tube with a black wall: view factor of two disks, then each convention; values of another program (scipy).
  test.each([
    [1, 1.098684, 1.207107],
    [5, 5.024694, 5.04951],
    [20, 20.006245, 20.012492],
    [60, 60.002083, 60.004166],
  ])('a black tube %d bores long', (ratio, thinLens, sine) => {
    const fNumber = effectiveFNumber(absorbingEvenThroughput({ boreMm: 2, lengthMm: 2 * ratio }));
    expect(Math.abs(fNumber.thinLens - thinLens)).toBeLessThan(1e-6);
    expect(Math.abs(fNumber.sine - sine)).toBeLessThan(1e-6);
  });

  test('on the axis of a black tube it is exactly L/d: a disk seen from its axis passes 1/(4(L/d)² + 1)', () => {
    expect(effectiveFNumber(1 / (4 * 60 ** 2 + 1)).thinLens).toBeCloseTo(60, 10);
  });

  test.each([0, -0.1, 1.1, Number.NaN])('refuses a throughput of %d', (throughput) => {
    expect(() => effectiveFNumber(throughput)).toThrow(/^throughput must/);
  });
});

describe('openAreaFraction', () => {
  const array: ArrayGeometry = {
    arrangement: 'square',
    rows: 2,
    columns: 2,
    tubeLengthMm: 10,
    tubeBoreMm: 3,
    backPitchMm: 3,
    frontPitchMm: 5,
  };
  test('touching circles: π/4 square, π/(2√3) hexagonal', () => {
    expect(openAreaFraction(array)).toBeCloseTo(0.785398163, 9);
    expect(openAreaFraction({ ...array, arrangement: 'hexagonal', shiftedRows: 'odd' })).toBeCloseTo(
      0.906899682,
      9,
    );
  });

  test('half the bore, a quarter of the area', () => {
    expect(openAreaFraction({ ...array, tubeBoreMm: 1.5 })).toBeCloseTo(0.785398163 / 4, 9);
  });
});

describe('exposure', () => {
  // t ∝ N² (ISO 2720): plain arithmetic.
  test.each([
    [8, 16, 4, 2],
    [2.8, 10, 12.7551, 3.673],
    [16, 60, 14.0625, 3.8138],
    [8, 8, 1, 0],
    [16, 8, 0.25, -2],
  ])('from f/%d to f/%d: %d times, %d stops', (from, to, factor, stops) => {
    expect(
      Math.abs(scaledExposureS({ fNumber: from, exposureS: 180 }, to) / (180 * factor) - 1),
    ).toBeLessThan(1e-5);
    expect(Math.abs(stopsBetween(from, to) - stops)).toBeLessThan(1e-4);
  });

  test.each([
    ['exposureS', () => scaledExposureS({ fNumber: 8, exposureS: 0 }, 60)],
    ['known.fNumber', () => scaledExposureS({ fNumber: -8, exposureS: 1 }, 60)],
    ['fNumber', () => scaledExposureS({ fNumber: 8, exposureS: 1 }, Number.NaN)],
    ['fromFNumber', () => stopsBetween(0, 8)],
    ['toFNumber', () => stopsBetween(8, Infinity)],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
