import { type RadialSpline, valueAt } from '../response/radial-spline.js';

/**
 * Dip of two equal lamps whose response is a spline of straight lines: 1 − valley ÷ peak; 0 where they have merged.
 *
 * Exact: the sum's valley and peaks lie where one of the two responses has a knot.
 *
 * @param slope - between the lamps, 0 or more, as the spline's knots
 */
export function splineDip(spline: RadialSpline, slope: number): number {
  const half = slope / 2;
  const places = [0];
  for (const knot of spline.knots) places.push(half + knot, Math.abs(half - knot));
  // Both sides are alike: one is enough, seen from its far end inwards.
  places.sort((a, b) => b - a);
  let [peak, dip] = [0, 0];
  for (const place of places) {
    const light = valueAt(spline, Math.abs(place - half)) + valueAt(spline, place + half);
    peak = Math.max(peak, light);
    if (place <= half && peak > 0) dip = Math.max(dip, 1 - light / peak);
  }
  return dip;
}
