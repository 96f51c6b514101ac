import { intervalOf } from './profile.js';

const ORDER = 4;

/** The four cubic B-splines that are not 0 in one interval, at one place in it. */
export interface SplineValues {
  /** Number of the first of them. */
  first: number;
  readonly values: Float64Array;
  readonly derivatives: Float64Array;
}

export function splineValues(): SplineValues {
  return { first: 0, values: new Float64Array(ORDER), derivatives: new Float64Array(ORDER) };
}

/** Number of cubic B-splines on these knots. */
export function splineCount(knots: Float64Array): number {
  return knots.length + ORDER - 2;
}

/**
 * Values and derivatives of the cubic B-splines at a place. The end knots are fourfold, so that the sum may have any
 * value and slope at the ends.
 *
 * @param knots - rising
 * @param place - from the first knot to the last
 * @param out - where to put them
 * Source: recursion of Cox and de Boor; de Boor, A Practical Guide to Splines, 1978, ch. X.
 */
export function evaluateSplines(knots: Float64Array, place: number, out: SplineValues): void {
  const interval = intervalOf(knots, place);
  const knot = (offset: number) => knots[Math.min(Math.max(interval + offset, 0), knots.length - 1)];
  const { values, derivatives } = out;
  out.first = interval;
  values[0] = 1;
  for (let order = 1; order < ORDER; order++) {
    if (order === ORDER - 1) {
      for (let j = 0; j < ORDER; j++) {
        const rise = j > 0 ? values[j - 1] / (knot(j) - knot(j - order)) : 0;
        const fall = j < order ? values[j] / (knot(j + 1) - knot(j + 1 - order)) : 0;
        derivatives[j] = order * (rise - fall);
      }
    }
    let carried = 0;
    for (let j = 0; j < order; j++) {
      const right = knot(j + 1);
      const left = knot(j + 1 - order);
      const share = values[j] / (right - left);
      values[j] = carried + (right - place) * share;
      carried = (place - left) * share;
    }
    values[order] = carried;
  }
}
