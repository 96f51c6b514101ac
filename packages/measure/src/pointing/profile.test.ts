import { describe, expect, test } from 'vitest';
import { evaluateProfile, halfRadius, type Profile, profileMoment } from './profile.js';

/** Cubics are held exactly, so a profile that is one everywhere must come back as it is: 1 − 3r² + 2r³ on 0 to 1. */
const SMOOTH_STEP: Profile = {
  knots: Float64Array.of(0, 0.2, 0.5, 1),
  values: Float64Array.of(0, 0.2, 0.5, 1).map((r) => 1 - 3 * r ** 2 + 2 * r ** 3),
  derivatives: Float64Array.of(0, 0.2, 0.5, 1).map((r) => 6 * r ** 2 - 6 * r),
};

describe('a profile', () => {
  test.each([0, 0.1, 0.2, 0.37, 0.5, 0.99])('holds a cubic exactly at r = %d', (r) => {
    const point = { value: 0, derivative: 0 };
    evaluateProfile(SMOOTH_STEP, r, point);
    expect(point.value).toBeCloseTo(1 - 3 * r ** 2 + 2 * r ** 3, 12);
    expect(point.derivative).toBeCloseTo(6 * r ** 2 - 6 * r, 12);
  });

  test.each([1, 1.5, Number.NaN])('is 0 from the last knot on: r = %d', (r) => {
    const point = { value: 9, derivative: 9 };
    evaluateProfile(SMOOTH_STEP, r, point);
    expect(point).toEqual({ value: 0, derivative: 0 });
  });

  // By hand: ∫ rᵖ(1 − 3r² + 2r³) dr = 1/(p+1) − 3/(p+3) + 2/(p+4).
  test.each([0, 1, 2] as const)('moment %d', (power) => {
    const exact = 1 / (power + 1) - 3 / (power + 3) + 2 / (power + 4);
    expect(profileMoment(SMOOTH_STEP, power)).toBeCloseTo(exact, 12);
  });

  test('half maximum', () => expect(halfRadius(SMOOTH_STEP)).toBeCloseTo(0.5, 12));
});
