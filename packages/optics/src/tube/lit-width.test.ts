import { describe, expect, test } from 'vitest';
import { absorbingAcceptance } from './absorbing-acceptance.js';
import type { Acceptance } from './acceptance.js';
import { litWidthRad } from './lit-width.js';

/** What is needed of a round acceptance: light against slope off the axis, and its width. */
function round(profile: (slope: number) => number, halfSlope: number): Acceptance {
  const widthRad = 2 * Math.atan(halfSlope);
  return {
    at: (across, up) => profile(Math.hypot(across, up)),
    axial: profile(0),
    widthRad,
    widthBesideRad: widthRad,
    centre: { across: 0, up: 0 },
    evenThroughput: 0,
  };
}

describe('litWidthRad', () => {
  test('of a point: as it is', () => {
    const tube = absorbingAcceptance({ boreMm: 2.6, lengthMm: 150 });
    expect(litWidthRad(tube, 0)).toBe(tube.widthRad);
  });

  // Averages over the disc by dblquad of scipy 1.10.1 (r dr dφ), half maximum by brentq: cone 1 − r to radius 1, e^(−r²).
  test.each([
    { name: 'cone', profile: (r: number) => Math.max(0, 1 - r), half: 0.5, lamp: 0.1, lit: 0.53098 },
    { name: 'cone', profile: (r: number) => Math.max(0, 1 - r), half: 0.5, lamp: 0.3, lit: 0.58039 },
    {
      name: 'Gaussian',
      profile: (r: number) => Math.exp(-r * r),
      half: Math.sqrt(Math.LN2),
      lamp: 0.5,
      lit: 0.88652,
    },
  ])('$name, lamp of radius $lamp', ({ profile, half, lamp, lit }) => {
    expect(Math.abs(Math.tan(litWidthRad(round(profile, half), lamp) / 2) / lit - 1)).toBeLessThan(0.002);
  });

  test('a lamp smaller than nothing is refused', () => {
    expect(() =>
      litWidthRad(
        round(() => 1, 1),
        -0.1,
      ),
    ).toThrow(/lampRadius must be 0 or more, got -0.1/);
  });
});
