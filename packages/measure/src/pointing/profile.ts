import { bisect } from '@twolamp/numeric';

/**
 * Radial profile of an acceptance: light against slope off its centre, 1 in the middle, 0 from the last knot on.
 * Between two knots it is the cubic that has the values and derivatives given there (Hermite's form).
 */
export interface Profile {
  /** Rising slopes from 0. */
  readonly knots: Float64Array;
  readonly values: Float64Array;
  readonly derivatives: Float64Array;
}

export interface ProfilePoint {
  value: number;
  derivative: number;
}

/** The last knot at or below a radius; the last interval at most. */
export function intervalOf(knots: Float64Array, radius: number): number {
  let low = 0;
  let high = knots.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (knots[middle] <= radius) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Profile and its derivative at a radius of 0 or more.
 *
 * @param out - written; the inner loop of all fits creates no objects
 */
export function evaluateProfile(profile: Profile, radius: number, out: ProfilePoint): void {
  const { knots, values, derivatives } = profile;
  if (!(radius < knots[knots.length - 1])) {
    out.value = 0;
    out.derivative = 0;
    return;
  }
  const index = intervalOf(knots, radius);
  const width = knots[index + 1] - knots[index];
  const t = (radius - knots[index]) / width;
  const start = values[index];
  const startRise = derivatives[index] * width;
  const rise = values[index + 1] - start;
  const endRise = derivatives[index + 1] * width;
  const square = 3 * rise - 2 * startRise - endRise;
  const cube = startRise + endRise - 2 * rise;
  out.value = start + t * (startRise + t * (square + t * cube));
  out.derivative = (startRise + t * (2 * square + t * 3 * cube)) / width;
}

/** Radius at which the profile has fallen to half its value in the middle. */
export function halfRadius(profile: Profile): number {
  const point = { value: 0, derivative: 0 };
  const isInside = (radius: number) => {
    evaluateProfile(profile, radius, point);
    return point.value > profile.values[0] / 2;
  };
  const { low, high } = bisect(isInside, 0, profile.knots[profile.knots.length - 1], 50);
  return (low + high) / 2;
}

const OFF_MIDDLE = Math.sqrt(0.15);
/** Place and weight on an interval of length 1; exact up to degree 5, that is for r² times a cubic. */
const GAUSS_LEGENDRE_3 = [
  [0.5 - OFF_MIDDLE, 5 / 18],
  [0.5, 8 / 18],
  [0.5 + OFF_MIDDLE, 5 / 18],
] as const;

/**
 * ∫ rᵖ · profile dr outwards from a radius, for powers up to 2.
 *
 * @param from - where to begin, 0 by default
 */
export function profileMoment(profile: Profile, power: 0 | 1 | 2, from = 0): number {
  const point = { value: 0, derivative: 0 };
  let sum = 0;
  for (let index = 1; index < profile.knots.length; index++) {
    const left = Math.max(from, profile.knots[index - 1]);
    const width = profile.knots[index] - left;
    if (width <= 0) continue;
    for (const [place, weight] of GAUSS_LEGENDRE_3) {
      const radius = left + place * width;
      evaluateProfile(profile, radius, point);
      sum += weight * width * radius ** power * point.value;
    }
  }
  return sum;
}
