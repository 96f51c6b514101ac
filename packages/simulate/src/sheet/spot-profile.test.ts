import { describe, expect, test } from 'vitest';
import { type SpotProfile, spotProfile } from './spot-profile.js';

const at = (profile: SpotProfile, distanceMm: number) =>
  profile.table[Math.round(distanceMm ** 2 * profile.perMm2)];

describe('spotProfile', () => {
  test.each([
    [1.3, 0.05],
    [1.3, 0.2],
    [0.4, 0.4],
    [0.2, 1],
  ])('a disc of radius %d mm blurred by %d mm', (radius, sigma) => {
    const profile = spotProfile(radius, sigma);
    // In the middle: the share of a Gaussian that falls inside the disc (Rayleigh distribution), over its area.
    const middle = (1 - Math.exp(-(radius ** 2) / (2 * sigma ** 2))) / (Math.PI * radius ** 2);
    // simple-statistics' error function is good to 1.2e-7.
    expect(Math.abs(at(profile, 0) / middle - 1)).toBeLessThan(1e-5);
    // All of it adds up to 1: π ∫ P d(ρ²).
    const sum =
      (Math.PI / profile.perMm2) * (profile.table.reduce((all, v) => all + v, 0) - profile.table[0] / 2);
    expect(Math.abs(sum - 1)).toBeLessThan(1e-4);
  });

  test('a slight blur leaves half the light at the rim; a strong one makes a Gaussian of the spot', () => {
    const sharp = spotProfile(1.3, 0.01);
    // A rim of radius R bends away from the Gaussian: 1/2 − σ/(2R√(2π)) to first order.
    const rim = 0.5 - 0.01 / (2 * 1.3 * Math.sqrt(2 * Math.PI));
    // The nearest node lies up to 1/80 σ off, and the profile falls by 0.4 per σ there.
    expect(Math.abs(at(sharp, 1.3) / at(sharp, 0) - rim)).toBeLessThan(0.005);
    const wide = spotProfile(0.01, 1);
    expect(Math.abs(at(wide, 1.5) / at(wide, 0) - Math.exp(-(1.5 ** 2) / 2))).toBeLessThan(1e-3);
  });
});
