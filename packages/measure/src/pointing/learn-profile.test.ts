import { circleOverlap, seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { learnProfile, profileKnots } from './learn-profile.js';
import { evaluateProfile, halfRadius } from './profile.js';

/** Pointed and cut off, pointed with a tail, round with a tail; half maxima in closed form. */
const SHAPES = [
  { name: 'overlap of circles', at: (r: number) => circleOverlap(Math.min(r, 1)), half: 0.4039727532995172 },
  { name: 'exponential', at: (r: number) => Math.exp(-r / 0.4), half: 0.4 * Math.LN2 },
  { name: 'Gaussian', at: (r: number) => Math.exp(-((r / 0.6) ** 2)), half: 0.6 * Math.sqrt(Math.LN2) },
];

function answers(at: (r: number) => number, count: number, noise: number) {
  const random = seededRandom(7);
  const radius = Float64Array.from({ length: count }, () => 3 * Math.sqrt(random.uniform()));
  const light = radius.map((r) => 5 * at(r) + noise * random.normal());
  return { radius, light, weight: radius.map(() => 1 / noise ** 2) };
}

describe('learnProfile', () => {
  test.each(SHAPES)('$name: half maximum and values from noisy answers, falling outwards', ({ at, half }) => {
    const profile = learnProfile(profileKnots(0.4, 0, 3.5), 0.4, answers(at, 40000, 0.02));
    // Some ten answers within a tenth of the half maximum, off by 0.4 % each, leave 0.1 % at the top, and twice that
    // at the half maximum of the steepest; ten times as much is allowed for the stiffness of the splines.
    expect(Math.abs(halfRadius(profile) / half - 1)).toBeLessThan(0.02);
    const point = { value: 0, derivative: 0 };
    for (let r = 0.05; r < 3; r += 0.05) {
      evaluateProfile(profile, r, point);
      expect(Math.abs(point.value - at(r))).toBeLessThan(0.02);
      expect(point.derivative).toBeLessThanOrEqual(1e-9);
    }
  });

  test.each([
    { rounded: 0.05, first: 0.05 },
    { rounded: 0, first: 0.004 },
    { rounded: 2, first: 0.06 },
  ])(
    'a top rounded over $rounded: level in the middle, half maximum of the rounded shape',
    ({ rounded, first }) => {
      const knots = profileKnots(0.4, rounded, 3.5);
      expect(knots[1]).toBeCloseTo(first, 12);
      // An exponential whose tip is a hyperbola's; where it is half its maximum follows in closed form.
      const tip = 0.1;
      const at = (r: number) => Math.exp((tip - Math.hypot(r, tip)) / 0.4);
      const half = Math.sqrt((tip + 0.4 * Math.LN2) ** 2 - tip ** 2);
      const profile = learnProfile(knots, 0.4, answers(at, 40000, 0.02));
      expect(profile.derivatives[0]).toBeCloseTo(0, 12);
      expect(Math.abs(halfRadius(profile) / half - 1)).toBeLessThan(0.02);
    },
  );

  test('answers without weight count for nothing', () => {
    const clean = answers(SHAPES[1].at, 4000, 0.05);
    const spoiled = {
      radius: Float64Array.of(...clean.radius, 1, 2),
      light: Float64Array.of(...clean.light, 50, Number.NaN),
      weight: Float64Array.of(...clean.weight, 0, 0),
    };
    const knots = profileKnots(0.4, 0, 3.5);
    expect(learnProfile(knots, 0.4, spoiled)).toEqual(learnProfile(knots, 0.4, clean));
  });
});
