import { discPoints } from '@twolamp/optics';

/** Response of a tube to a lamp off its axis, radially symmetric: linear interpolation between knots. */
export interface RadialSpline {
  /** Slopes off the axis, from 0 up; the last one is where the light ends. */
  readonly knots: Float64Array;
  /** Light at each knot, 1 on the axis, falling to 0. */
  readonly values: Float64Array;
}

/** Knots in half widths at half maximum: dense where the light falls fastest, sparse in the tail. */
const KNOT_HALF_WIDTHS = [
  0, 0.2, 0.4, 0.6, 0.8, 1, 1.2, 1.4, 1.6, 1.8, 2, 2.3, 2.6, 3, 3.5, 4.2, 5.2, 6.5, 8.5,
];

/** Knots for a response of a given half width at half maximum (slope). */
export function knotsFor(halfWidth: number): Float64Array {
  return Float64Array.from(KNOT_HALF_WIDTHS, (knot) => knot * halfWidth);
}

/**
 * Where a slope falls: index of the knot before it; −1 beyond the last.
 *
 * @param near - a knot from which to look for it
 */
export function knotBefore(knots: Float64Array, slope: number, near = 0): number {
  const last = knots.length - 1;
  if (slope >= knots[last]) return -1;
  let before = Math.min(near, last - 1);
  while (before > 0 && knots[before] > slope) before--;
  while (knots[before + 1] <= slope) before++;
  return before;
}

/** Light at a slope off the axis. */
export function valueAt({ knots, values }: RadialSpline, slope: number): number {
  const before = knotBefore(knots, slope);
  if (before < 0) return 0;
  const share = (slope - knots[before]) / (knots[before + 1] - knots[before]);
  return values[before] + share * (values[before + 1] - values[before]);
}

/** How fast the light falls at a slope off the axis, over a short stretch to both sides; per unit of slope. */
export function fallAt(spline: RadialSpline, slope: number): number {
  const stretch = 0.25 * spline.knots[1];
  return (
    (valueAt(spline, Math.abs(slope + stretch)) - valueAt(spline, Math.abs(slope - stretch))) / (2 * stretch)
  );
}

/** Slope at which the light is down to half of that on the axis. */
export function halfWidthOf(spline: RadialSpline): number {
  const { knots, values } = spline;
  const half = values[0] / 2;
  let before = 0;
  while (before < values.length - 2 && values[before + 1] > half) before++;
  const share = (values[before] - half) / Math.max(values[before] - values[before + 1], 1e-12);
  return knots[before] + Math.min(1, share) * (knots[before + 1] - knots[before]);
}

/** A Gaussian of a given half width, for a start. */
export function gaussianSpline(halfWidth: number): RadialSpline {
  const knots = knotsFor(halfWidth);
  return { knots, values: knots.map((slope) => 0.5 ** ((slope / halfWidth) ** 2)) };
}

/** Points that stand for a lamp's disc: its second moments come out to 1 %, and a knot's spacing is wider than theirs. */
const DISC = discPoints(64);

/** Matrices of the knots they were made for, by radius: a bootstrap asks for the same ones with each draw. */
const known = new WeakMap<Float64Array, Map<number, Float64Array>>();
const MOST_KNOWN = 500;

/**
 * What a round, evenly bright lamp makes of the response to a point, as a matrix on the values at the knots.
 *
 * @param radius - of the lamp, slope
 * @returns K × K row by row; the identity where the radius is 0. It may be given out again
 */
export function discMatrix(knots: Float64Array, radius: number): Readonly<Float64Array> {
  const ofKnots = known.get(knots) ?? new Map<number, Float64Array>();
  known.set(knots, ofKnots);
  const matrix = ofKnots.get(radius) ?? computedMatrix(knots, radius);
  if (ofKnots.size >= MOST_KNOWN) ofKnots.clear();
  ofKnots.set(radius, matrix);
  return matrix;
}

function computedMatrix(knots: Float64Array, radius: number): Float64Array {
  const size = knots.length;
  const matrix = new Float64Array(size * size);
  for (let row = 0; row < size; row++) {
    for (let n = 0; n < DISC.length; n++) {
      const across = knots[row] + radius * DISC[n].x;
      const up = radius * DISC[n].y;
      const slope = Math.sqrt(across * across + up * up);
      const before = knotBefore(knots, slope, row);
      if (before < 0) continue;
      const share = (slope - knots[before]) / (knots[before + 1] - knots[before]);
      matrix[row * size + before] += (1 - share) / DISC.length;
      matrix[row * size + before + 1] += share / DISC.length;
    }
  }
  return matrix;
}

/** Response to a round lamp, from that to a point; not scaled to 1 on the axis. @param radius - of the lamp, slope */
export function litSpline({ knots, values }: RadialSpline, radius: number): RadialSpline {
  if (radius === 0) return { knots, values };
  const matrix = discMatrix(knots, radius);
  const lit = new Float64Array(knots.length);
  for (let row = 0, at = 0; row < lit.length; row++) {
    for (let k = 0; k < lit.length; k++, at++) lit[row] += matrix[at] * values[k];
  }
  return { knots, values: lit };
}

/** Five-point Gauss–Hermite rule for a normal deviate (Abramowitz & Stegun, table 25.10). */
const DEVIATES = [
  { sigmas: 0, weight: 8 / 15 },
  ...[-1, 1].flatMap((sign) => [
    { sigmas: 1.3556261799742659 * sign, weight: 0.22207592200561266 },
    { sigmas: 2.8569700138728056 * sign, weight: 0.011257411327720691 },
  ]),
];

/** Mean response of tubes, not scaled to 1 on the axis, whose pointing scatters normally with a given standard deviation (slope) along each axis. */
export function blurred(spline: RadialSpline, sigma: number): RadialSpline {
  const values = spline.knots.map((radius) =>
    DEVIATES.reduce(
      (sum, x) =>
        sum +
        DEVIATES.reduce(
          (inner, y) =>
            inner +
            x.weight * y.weight * valueAt(spline, Math.hypot(radius + sigma * x.sigmas, sigma * y.sigmas)),
          0,
        ),
      0,
    ),
  );
  return { knots: spline.knots, values };
}
