import { describe, expect, test } from 'vitest';
import type { ArrayGeometry } from '../array/array.js';
import { tubeOf } from '../array/array.js';
import { absorbingAcceptance } from '../tube/absorbing-acceptance.js';
import type { Acceptance } from '../tube/acceptance.js';
import { predictPair, resolvingDistance } from './prediction.js';

const array: ArrayGeometry = {
  arrangement: 'square',
  rows: 24,
  columns: 30,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const SIGMA = 0.015;
const gaussian: Acceptance = {
  at: (across, up) => Math.exp(-(across ** 2 + up ** 2) / (2 * SIGMA ** 2)),
  axial: 1,
  widthRad: 2 * Math.atan(1.1774100225 * SIGMA),
  widthBesideRad: 2 * Math.atan(1.1774100225 * SIGMA),
  centre: { across: 0, up: 0 },
  evenThroughput: 2 * SIGMA ** 2,
};
const RAYLEIGH = 0.265;

describe('predictPair', () => {
  test('two gaussian responses 3 σ apart', () => {
    // Seen from the front face the lamps stand spacing/D = 0.045 = 3 σ apart; dip from datasets/reference/rayleigh.csv.
    const pair = predictPair(array, gaussian, 90, 2000, RAYLEIGH);
    expect(pair.undersampled).toBe(false);
    expect(Math.abs(pair.dip - (1 - 0.64178298))).toBeLessThan(1e-6);
    expect(pair.shareSeparate).toBe(1);
  });

  test('hangs on the angle between the lamps, not on the pitches', () => {
    const dips = [
      predictPair(array, gaussian, 60, 1500, RAYLEIGH),
      predictPair(array, gaussian, 120, 3000, RAYLEIGH),
      predictPair({ ...array, frontPitchMm: 3 }, gaussian, 60, 1500, RAYLEIGH),
    ].map((pair) => pair.dip);
    expect(Math.max(...dips) - Math.min(...dips)).toBeLessThan(1e-6);
  });

  test('undersampled: counts what the cells show', () => {
    // 60 mm apart at 700 mm on axes 21.8667 mm apart: 2.744 cells, with acceptance so narrow that a lamp lights one
    // cell at most, and never two lamps at once unless they lie a whole number of cells apart.
    const sparse = { ...array, frontPitchMm: 9 };
    const narrow: Acceptance = {
      ...gaussian,
      at: (x, y) => (Math.hypot(x, y) < 0.001 ? 1 : 0),
      widthRad: 0.002,
    };
    const pair = predictPair(sparse, narrow, 60, 700, RAYLEIGH);
    expect(pair).toMatchObject({ undersampled: true, dip: 0, shareSeparate: 0 });
    expect(pair.spreadCells).toBeLessThan(0.1);
  });
});

describe('resolvingDistance', () => {
  test('of gaussian responses is where they stand 2.799 σ apart', () => {
    // Valley ÷ true peak of two gaussians is 0.735 at 2.79941 σ: root of the closed form in another program (scipy).
    const found = resolvingDistance(array, () => gaussian, 60, RAYLEIGH, 300, 20_000);
    expect(found.bound).toBe('within');
    expect(Math.abs(found.distanceMm / (60 / (2.79941 * SIGMA)) - 1)).toBeLessThan(1e-5);
  });

  test('grows with the spacing', () => {
    const [near, far] = [40, 80].map((spacing) =>
      resolvingDistance(array, () => absorbingAcceptance(tubeOf(array)), spacing, RAYLEIGH, 300, 20_000),
    );
    expect(Math.abs(far.distanceMm / near.distanceMm - 2)).toBeLessThan(1e-4);
  });

  test('asks for the acceptance at the distance', () => {
    // A tube whose width doubles beyond 1 m resolves to where the narrow one would only if that is nearer.
    const wide: Acceptance = { ...gaussian, at: (x, y) => gaussian.at(x / 2, y / 2) };
    const limit = 60 / (2.79941 * SIGMA);
    const found = resolvingDistance(array, (d) => (d < 1000 ? gaussian : wide), 60, RAYLEIGH, 300, 20_000);
    expect(found.distanceMm).toBeLessThanOrEqual(1000);
    expect(Math.abs(found.distanceMm / Math.min(1000, limit) - 1)).toBeLessThan(1e-3);
  });

  test.each([
    ['beyond', 300, 900, 900],
    ['nearer', 5000, 9000, 5000],
  ])('%s the range from %d to %d mm', (bound, nearest, farthest, distanceMm) => {
    expect(resolvingDistance(array, () => gaussian, 60, RAYLEIGH, nearest, farthest)).toEqual({
      bound,
      distanceMm,
    });
  });

  test.each([
    ['nearestMm', 0, 100],
    ['farthestMm', 100, 100],
  ])('names %s when it is bad', (name, nearest, farthest) => {
    expect(() => resolvingDistance(array, () => gaussian, 60, RAYLEIGH, nearest, farthest)).toThrow(
      new RegExp(`^${name} must`),
    );
  });
});
