import { discPoints } from '../disc-points.js';
import type { Random } from '../random.js';

/**
 * Points spread evenly over the unit disk, turned by one random angle. They are dealt out in rounds, so that the first of
 * the rounds is spread evenly as well.
 */
export function entryPoints(
  count: number,
  rounds: number,
  random: Random,
): { x: Float64Array; y: Float64Array } {
  const points = discPoints(count, 2 * Math.PI * random.uniform());
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  let filled = 0;
  for (let first = 0; first < rounds; first++) {
    for (let seed = first; seed < count; seed += rounds, filled++) {
      x[filled] = points[seed].x;
      y[filled] = points[seed].y;
    }
  }
  return { x, y };
}
