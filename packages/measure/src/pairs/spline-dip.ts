import { type RadialSpline, valueAt } from '../response/radial-spline.js';

/**
 * Dip of two equal lamps with a piecewise linear response: 1 − valley ÷ peak; 0 where they have merged.
 *
 * Exact: the sum's valley and peaks lie where one of the two responses has a knot.
 *
 * @param slope - between the lamps, 0 or more, as the spline's knots
 */
export function splineDip(spline: RadialSpline, slope: number): number {
  const half = slope / 2;
  const { knots } = spline;
  const places = new Float64Array(2 * knots.length + 1);
  for (let n = 0; n < knots.length; n++) {
    places[2 * n] = half + knots[n];
    places[2 * n + 1] = Math.abs(half - knots[n]);
  }
  places.sort();
  let [peak, dip] = [0, 0];
  // Both sides are equal: one is enough, from its far end inwards.
  for (let n = places.length - 1; n >= 0; n--) {
    const place = places[n];
    const light = valueAt(spline, Math.abs(place - half)) + valueAt(spline, place + half);
    peak = Math.max(peak, light);
    if (place <= half && peak > 0) dip = Math.max(dip, 1 - light / peak);
  }
  return dip;
}
