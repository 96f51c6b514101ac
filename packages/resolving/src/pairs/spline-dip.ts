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
  const lightAt = (place: number) => valueAt(spline, Math.abs(place - half)) + valueAt(spline, place + half);
  // Both sides are equal: one is enough. Beyond a lamp only the brightest place counts, in whatever order.
  let peak = 0;
  let inner = 0;
  for (let n = 0; n < knots.length; n++) {
    peak = Math.max(peak, lightAt(half + knots[n]));
    if (knots[n] - half > half) peak = Math.max(peak, lightAt(knots[n] - half));
    else inner = n;
  }
  // Between lamp and middle, inwards: knots of the near lamp's response on its inner side, and of its outer side's far end.
  let dip = 0;
  let outer = 0;
  for (let place = half; place >= 0; ) {
    const light = lightAt(place);
    peak = Math.max(peak, light);
    if (peak > 0) dip = Math.max(dip, 1 - light / peak);
    const fromLamp =
      outer < knots.length && knots[outer] <= half ? half - knots[outer] : Number.NEGATIVE_INFINITY;
    const fromBeyond = inner >= 0 && knots[inner] >= half ? knots[inner] - half : Number.NEGATIVE_INFINITY;
    if (fromLamp >= fromBeyond) outer++;
    else inner--;
    place = Math.max(fromLamp, fromBeyond);
  }
  const middle = lightAt(0);
  peak = Math.max(peak, middle);
  return peak > 0 ? Math.max(dip, 1 - middle / peak) : dip;
}
