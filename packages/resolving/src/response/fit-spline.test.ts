import { NormalEquations } from '@twolamp/numeric';
import { circleOverlap, seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { fitSpline } from './fit-spline.js';
import { knotBefore, knotsFor, type RadialSpline, valueAt } from './radial-spline.js';
import { NO_THEORY } from './response-theory.js';
import { STIFFNESS_SHOTS } from './tuning.js';

const HALF = 0.008;
const KNOTS = knotsFor(HALF);

/** Normal equations of noisy light at slopes spread evenly over the knots. */
function sumsOf(light: (slope: number) => number, noise: number, count: number) {
  const random = seededRandom(21);
  const equations = new NormalEquations(KNOTS.length);
  for (let n = 0; n < count; n++) {
    const slope = random.uniform() * KNOTS.at(-1)!;
    const before = knotBefore(KNOTS, slope);
    const share = (slope - KNOTS[before]) / (KNOTS[before + 1] - KNOTS[before]);
    const target = light(slope) + noise * random.normal();
    const row = new Float64Array(KNOTS.length);
    row[before] = 1 - share;
    row[before + 1] = share;
    equations.add(row, 1 / noise ** 2, target);
  }
  return equations;
}

const rootMeanSquare = (values: Float64Array) => Math.hypot(...values) / Math.sqrt(values.length);

describe('fitSpline', () => {
  test.each([
    { name: 'a Gaussian', light: (slope: number) => 0.5 ** ((slope / HALF) ** 2) },
    { name: 'an exponential tail', light: (slope: number) => Math.exp(-slope / HALF) },
    // Shared area of two circles: the response of black walls.
    { name: 'black walls', light: (slope: number) => circleOverlap((0.404 * slope) / HALF) },
  ])('$name, from light with 2 % noise', ({ light }) => {
    const { values } = fitSpline(KNOTS, sumsOf(light, 0.02, 2000), STIFFNESS_SHOTS, NO_THEORY);
    const errors = values.map((value, n) => value - light(KNOTS[n]));
    expect(values[0]).toBe(1);
    expect(rootMeanSquare(errors)).toBeLessThan(0.01);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.03);
  });

  test('never rises, and never falls below 0, be the light ever so noisy', () => {
    const { values } = fitSpline(
      KNOTS,
      sumsOf((slope) => (slope < HALF ? 1 : 0), 0.5, 300),
      STIFFNESS_SHOTS,
      NO_THEORY,
    );
    for (let n = 1; n < values.length; n++) expect(values[n]).toBeLessThanOrEqual(values[n - 1]);
    expect(values.at(-1)!).toBeGreaterThanOrEqual(0);
  });
});

describe('a spline', () => {
  const spline: RadialSpline = { knots: Float64Array.of(0, 1, 3), values: Float64Array.of(1, 0.5, 0) };

  test.each([
    { slope: 0, before: 0, value: 1 },
    { slope: 0.5, before: 0, value: 0.75 },
    { slope: 1, before: 1, value: 0.5 },
    { slope: 2, before: 1, value: 0.25 },
    { slope: 3, before: -1, value: 0 },
    { slope: 9, before: -1, value: 0 },
  ])('at $slope', ({ slope, before, value }) => {
    expect(knotBefore(spline.knots, slope)).toBe(before);
    expect(valueAt(spline, slope)).toBeCloseTo(value, 12);
  });
});
