import { factorise, NormalEquations, substitute } from '@twolamp/numeric';

/** Entries but for the last one, which is 1. */
const TERMS = 8;
const MOST_STEPS = 10;
/** Change of the entries, in normalised co-ordinates, at which the steps end: the points are single precision at best. */
const SETTLED = 1e-10;
/** Least Cholesky pivot against the largest: points on one line leave some rounding there. */
const LEAST_PIVOT = 1e-6;

/**
 * Homography between two sets of points, least squares of the distances over all of them: linear first, then by Gauss–Newton
 * steps.
 *
 * @param from - x, y of each point, interleaved
 * @param to - x, y of its image, interleaved
 * @returns the 3 × 3 matrix in row order, last entry 1; null where the points don't determine one
 * Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., 4.1, 4.4.4 (normalisation) and 4.5.
 */
export function homography(from: ArrayLike<number>, to: ArrayLike<number>): Float64Array | null {
  const [source, target] = [normalised(from), normalised(to)];
  if (!source || !target) return null;
  let entries = stepOf(source.points, target.points, null);
  for (let step = 0; entries && step < MOST_STEPS; step++) {
    const change = stepOf(source.points, target.points, entries);
    if (!change) return null;
    entries = entries.map((value, n) => value + change[n]);
    if (change.every((value) => Math.abs(value) < SETTLED)) break;
  }
  return entries && undone(entries, source, target);
}

interface Normalised {
  readonly points: Float64Array;
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

/** Points about their mean, the mean distance from it as the unit; null where all lie in one place. */
function normalised(points: ArrayLike<number>): Normalised | null {
  const count = points.length / 2;
  let x = 0;
  let y = 0;
  for (let n = 0; n < points.length; n += 2) {
    x += points[n] / count;
    y += points[n + 1] / count;
  }
  let scale = 0;
  for (let n = 0; n < points.length; n += 2) scale += Math.hypot(points[n] - x, points[n + 1] - y) / count;
  if (!(scale > 0)) return null;
  const about = new Float64Array(points.length);
  for (let n = 0; n < points.length; n += 2) {
    about[n] = (points[n] - x) / scale;
    about[n + 1] = (points[n + 1] - y) / scale;
  }
  return { points: about, x, y, scale };
}

/** The linear solution, each equation times its denominator; or, from given entries on, a Gauss–Newton step. */
function stepOf(from: Float64Array, to: Float64Array, entries: Float64Array | null): Float64Array | null {
  const equations = new NormalEquations(TERMS);
  const row = new Float64Array(TERMS);
  for (let n = 0; n < from.length; n += 2) {
    const x = from[n];
    const y = from[n + 1];
    const w = entries ? entries[6] * x + entries[7] * y + 1 : 1;
    for (let axis = 0; axis < 2; axis++) {
      const first = 3 * axis;
      const seen = entries
        ? (entries[first] * x + entries[first + 1] * y + entries[first + 2]) / w
        : to[n + axis];
      row.fill(0);
      row[first] = x / w;
      row[first + 1] = y / w;
      row[first + 2] = 1 / w;
      row[6] = (-seen * x) / w;
      row[7] = (-seen * y) / w;
      equations.add(row, 1, entries ? to[n + axis] - seen : seen);
    }
  }
  const { lower, side } = equations;
  if (!factorise(lower, TERMS)) return null;
  let [least, most] = [Number.POSITIVE_INFINITY, 0];
  for (let n = 0; n < TERMS; n++) {
    least = Math.min(least, lower[n * (TERMS + 1)]);
    most = Math.max(most, lower[n * (TERMS + 1)]);
  }
  if (!(least > LEAST_PIVOT * most)) return null;
  substitute(lower, side);
  return side;
}

/** The homography between the points as they were given. */
function undone(h: Float64Array, from: Normalised, to: Normalised): Float64Array | null {
  const matrix = new Float64Array(9);
  for (let axis = 0; axis < 3; axis++) {
    const whole = [0, 1, 2].map((n) => {
      const last = n === 2 ? 1 : h[6 + n];
      if (axis === 2) return last;
      return to.scale * h[3 * axis + n] + (axis === 0 ? to.x : to.y) * last;
    });
    const [a, b, c] = [whole[0] / from.scale, whole[1] / from.scale, whole[2]];
    matrix.set([a, b, c - a * from.x - b * from.y], 3 * axis);
  }
  const last = matrix[8];
  return Number.isFinite(last) && last !== 0 ? matrix.map((value) => value / last) : null;
}
