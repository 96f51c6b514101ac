import type { TubeSize } from '@twolamp/optics';

/**
 * Shared area of two circles.
 *
 * Source: Weisstein, MathWorld, "Circle-Circle Intersection", equation 14.
 */
export function sharedArea(radius1: number, radius2: number, gap: number): number {
  const lesser = Math.min(radius1, radius2);
  if (gap <= Math.abs(radius1 - radius2)) return Math.PI * lesser * lesser;
  if (gap >= radius1 + radius2) return 0;
  const cos1 = (gap * gap + radius1 * radius1 - radius2 * radius2) / (2 * gap * radius1);
  const cos2 = (gap * gap + radius2 * radius2 - radius1 * radius1) / (2 * gap * radius2);
  const kite =
    (-gap + radius1 + radius2) *
    (gap + radius1 - radius2) *
    (gap - radius1 + radius2) *
    (gap + radius1 + radius2);
  return radius1 ** 2 * Math.acos(cos1) + radius2 ** 2 * Math.acos(cos2) - 0.5 * Math.sqrt(Math.max(0, kite));
}

/**
 * Share of a point lamp's light into a straight tube that passes without touching the wall.
 *
 * Seen from the lamp, the front end throws a circle on the plane of the back end, 1 + L/D times as wide and shifted by
 * L · slope; what lies inside the bore there passes.
 *
 * @param slope - tangent of the angle between the tube's axis and the direction from its front end to the lamp
 * @param distanceMm - of the lamp from the front end; Infinity for parallel light
 */
export function straightSight(tube: TubeSize, slope: number, distanceMm: number): number {
  if (!(distanceMm > 0)) throw new RangeError(`distanceMm must be above 0, got ${distanceMm}`);
  const radius = tube.boreMm / 2;
  const thrown = radius * (1 + tube.lengthMm / distanceMm);
  return sharedArea(thrown, radius, tube.lengthMm * slope) / (Math.PI * thrown * thrown);
}

const DEPTHS = 24;
const LINES = 64;

/**
 * The same for a tube whose middle stands out: an arc between fixed ends, near enough a parabola.
 *
 * Seen from the lamp, every cross-section of the tube is a circle thrown on the front plane; light that passes lies
 * inside all of them. The shared area is summed up line by line, along the bow.
 *
 * @param bowMm - how far the middle stands out
 * @param slopeAlong - as `slope`, in the direction of the bow
 * @param slopeBeside - at right angles to it
 */
export function bowedSight(
  tube: TubeSize,
  bowMm: number,
  slopeAlong: number,
  slopeBeside: number,
  distanceMm: number,
): number {
  const radius = tube.boreMm / 2;
  let area = 0;
  for (let i = 0; i < LINES; i++) {
    // Lines by equal steps of the angle: the chord's length vanishes smoothly at both ends.
    const angle = (Math.PI * (i + 0.5)) / LINES;
    const beside = -radius * Math.cos(angle);
    let from = -Infinity;
    let to = Infinity;
    for (let k = 0; k <= DEPTHS && from < to; k++) {
      const part = k / DEPTHS;
      const depth = part * tube.lengthMm;
      const shrink = 1 / (1 + depth / distanceMm);
      const middleAlong = (depth * slopeAlong + 4 * bowMm * part * (1 - part)) * shrink;
      const off = beside - depth * slopeBeside * shrink;
      const half2 = (radius * shrink) ** 2 - off * off;
      if (half2 <= 0) {
        to = from;
        break;
      }
      const half = Math.sqrt(half2);
      from = Math.max(from, middleAlong - half);
      to = Math.min(to, middleAlong + half);
    }
    if (to > from) area += (to - from) * radius * Math.sin(angle) * (Math.PI / LINES);
  }
  return area / (Math.PI * radius * radius);
}
