import { expect, test } from 'vitest';
import { knotsFor, litSpline, type RadialSpline } from './radial-spline.js';

const KNOTS = knotsFor(1);
const cone: RadialSpline = { knots: KNOTS, values: KNOTS.map((slope) => Math.max(0, 1 - slope / 2)) };

// The mean distance of a disc's points from its middle is 2/3 of its radius; from a point far outside, the distance of the
// middle and R²/8 over that distance (series; any handbook of integrals).
test.each([
  { radius: 0.3, knot: 0, lit: 1 - 0.3 / 3 },
  { radius: 0.9, knot: 0, lit: 1 - 0.9 / 3 },
  { radius: 0.3, knot: 5, lit: 1 - (1 + 0.3 ** 2 / 8) / 2 },
  { radius: 0, knot: 5, lit: 0.5 },
])('a cone in the light of a lamp of radius $radius, at knot $knot', ({ radius, knot, lit }) => {
  expect(litSpline(cone, radius).values[knot]).toBeCloseTo(lit, 2.5);
});

test('the light of all directions together stays the same', () => {
  const light = ({ knots, values }: RadialSpline) =>
    values.reduce(
      (sum, value, n) =>
        sum + (n ? (value * knots[n] + values[n - 1] * knots[n - 1]) * (knots[n] - knots[n - 1]) : 0),
      0,
    );
  expect(light(litSpline(cone, 0.3)) / light(cone)).toBeCloseTo(1, 2);
});
