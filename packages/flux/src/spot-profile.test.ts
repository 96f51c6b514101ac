import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import {
  COEFFICIENTS,
  centroidWithin,
  HARMONICS,
  KNOTS,
  normalised,
  ProfileBasis,
  ProfileTable,
  REACH,
  roundProfile,
  type SpotProfile,
  STEP,
} from './spot-profile.js';

/** Coefficients of each harmonic by its knot; the last three stay 0 where the profile should end smoothly. */
const profileOf = (coefficient: (harmonic: number, knot: number) => number): SpotProfile => ({
  coefficients: Float64Array.from({ length: COEFFICIENTS }, (_, n) =>
    coefficient(Math.floor(n / KNOTS), n % KNOTS),
  ),
});

function randomProfile(seed: number): SpotProfile {
  const random = seededRandom(seed);
  const spot = roundProfile(0.4, 0.06).coefficients;
  return profileOf((h, knot) => (knot > KNOTS - 4 ? 0 : (h === 0 ? spot[knot] : 0) + 0.1 * random.normal()));
}

const table = new ProfileTable();
const at = (profile: SpotProfile, p: number, q: number): number => {
  table.take(profile);
  return table.at(p, q);
};

const random = seededRandom(1);
const PLACES = Array.from({ length: 200 }, () => [
  1.9 * random.uniform() - 0.95,
  1.9 * random.uniform() - 0.95,
])
  .filter(([p, q]) => Math.hypot(p!, q!) < REACH - 1e-6)
  .map(([p, q]) => [p!, q!] as const);

describe('ProfileTable', () => {
  test('its splines add up to 1 everywhere (partition of unity)', () => {
    const even = profileOf((h) => (h === 0 ? 1 : 0));
    for (const [p, q] of PLACES) expect(Math.abs(at(even, p, q) - 1)).toBeLessThan(1e-12);
  });

  // Coefficients on a line give the line: the knots of a uniform cubic spline are its own Greville points.
  test('its splines follow a line in s', () => {
    const line = profileOf((h, knot) => (h === 0 ? (knot - 1) * STEP : 0));
    for (const [p, q] of PLACES) expect(Math.abs(at(line, p, q) - (p * p + q * q))).toBeLessThan(1e-12);
  });

  test.each<[string, number, (p: number, q: number) => number]>([
    ['p', 1, (p) => p],
    ['q', 2, (_, q) => q],
    ['p² − q²', 3, (p, q) => p * p - q * q],
    ['2pq', 4, (p, q) => 2 * p * q],
  ])('harmonic %s', (_, harmonic, expected) => {
    const one = profileOf((h) => (h === harmonic ? 1 : 0));
    for (const [p, q] of PLACES) expect(Math.abs(at(one, p, q) - expected(p, q))).toBeLessThan(1e-12);
  });

  test.each([
    [REACH, 0],
    [0, -REACH],
    [0.7, 0.7],
    [5, 5],
  ])('(%d, %d) lies beyond its reach', (p, q) => {
    expect(new ProfileBasis().moveTo(p, q)).toBe(false);
    expect(at(roundProfile(0.4, 0.08), p, q)).toBe(0);
  });

  test('it is the sum of the basis’s terms', () => {
    const any = randomProfile(4);
    const basis = new ProfileBasis();
    for (const [p, q] of PLACES) {
      basis.moveTo(p, q);
      let sum = 0;
      basis.harmonics.forEach((harmonic, h) => {
        basis.weights.forEach((weight, m) => {
          sum += harmonic * weight * any.coefficients[h * KNOTS + basis.first + m];
        });
      });
      expect(Math.abs(at(any, p, q) - sum)).toBeLessThan(1e-12);
    }
  });
});

/** Sum over a fine grid. */
function integralOf(profile: SpotProfile, weight = (_p: number, _q: number) => 1): number {
  const cells = 400;
  const width = (2 * REACH) / cells;
  let sum = 0;
  table.take(profile);
  for (let n = 0; n < cells * cells; n++) {
    const p = ((n % cells) + 0.5) * width - REACH;
    const q = (Math.floor(n / cells) + 0.5) * width - REACH;
    sum += weight(p, q) * table.at(p, q);
  }
  return sum * width * width;
}

describe('normalised', () => {
  test.each<[string, SpotProfile]>([
    ['a round spot', roundProfile(0.4, 0.08)],
    ['a small hard spot', roundProfile(0.2, 0.03)],
    ['any shape', normalised(randomProfile(8)).profile],
  ])('%s has integral 1', (_, profile) => {
    // The grid's own error: cells at the rim and steep edges, some 1e-4.
    expect(Math.abs(integralOf(profile) - 1)).toBeLessThan(1e-3);
  });

  test('gives the integral that the shape had', () => {
    const shape = randomProfile(9);
    const { integral } = normalised(shape);
    expect(Math.abs(integral / integralOf(shape) - 1)).toBeLessThan(1e-3);
  });
});

test('roundProfile is down to a half at its radius', () => {
  for (const radius of [0.3, 0.4, 0.47]) {
    const spot = roundProfile(radius, 0.06);
    expect(Math.abs(at(spot, radius, 0) / at(spot, 0, 0) - 0.5)).toBeLessThan(0.03);
  }
});

describe('centroidWithin', () => {
  test('of a round spot lies in its middle', () => {
    expect(centroidWithin(0.6)(roundProfile(0.4, 0.06))).toEqual([0, 0]);
  });

  // T = 1 + ap + bq on a disc of radius ρ: ∫ap² / ∫1 = aρ²/4.
  test('of a tilted disc', () => {
    const tilted = profileOf((h) => [1, 0.3, -0.2, 0, 0][h]);
    const [p, q] = centroidWithin(0.6)(tilted);
    expect(Math.abs(p - (0.3 * 0.36) / 4)).toBeLessThan(1e-12);
    expect(Math.abs(q + (0.2 * 0.36) / 4)).toBeLessThan(1e-12);
  });

  test('of any shape is the ratio of its moments over the disc', () => {
    const { profile } = normalised(randomProfile(5));
    const inside = (p: number, q: number) => (Math.hypot(p, q) < 0.6 ? 1 : 0);
    const light = integralOf(profile, inside);
    const [p, q] = centroidWithin(0.6)(profile);
    expect(Math.abs(p - integralOf(profile, (x, y) => x * inside(x, y)) / light)).toBeLessThan(1e-3);
    expect(Math.abs(q - integralOf(profile, (x, y) => y * inside(x, y)) / light)).toBeLessThan(1e-3);
  });
});

test('there are as many coefficients as harmonics times knots', () => {
  expect(COEFFICIENTS).toBe(HARMONICS * KNOTS);
  expect((KNOTS - 3) * STEP).toBeGreaterThanOrEqual(REACH * REACH);
});
