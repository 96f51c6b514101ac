import { discPoints } from '../disc-points.js';
import type { Acceptance } from './acceptance.js';

const POINTS = discPoints(256);
const BISECTIONS = 40;

/**
 * Full width at half maximum, radians, of what a straight tube passes of an evenly bright round lamp that faces it: a
 * lamp is no point, and rounds off the top of an acceptance.
 *
 * @param acceptance - of a point at the lamp's distance
 * @param lampRadius - of the lamp, over its distance; 0 = a point
 * @throws RangeError if lampRadius is below 0
 */
export function litWidthRad(acceptance: Acceptance, lampRadius: number): number {
  if (!(lampRadius >= 0)) throw new RangeError(`lampRadius must be 0 or more, got ${lampRadius}`);
  if (lampRadius === 0) return acceptance.widthRad;
  const passed = (slope: number) =>
    POINTS.reduce((sum, { x, y }) => sum + acceptance.at(slope + lampRadius * x, lampRadius * y), 0);
  const half = passed(0) / 2;
  let low = 0;
  let high = Math.tan(acceptance.widthRad / 2) + lampRadius;
  while (passed(high) > half) high *= 2;
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (low + high) / 2;
    if (passed(middle) > half) low = middle;
    else high = middle;
  }
  return 2 * Math.atan(low);
}
