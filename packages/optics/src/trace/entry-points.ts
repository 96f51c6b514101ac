import type { Random } from '../random.js';

const GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5));

/**
 * Points spread evenly over the unit disk like a sunflower's seeds (H. Vogel, Math. Biosci. 44:179, 1979), turned by
 * one random angle. They are dealt out in rounds, so that the first of the rounds is spread evenly as well.
 */
export function entryPoints(
  count: number,
  rounds: number,
  random: Random,
): { x: Float64Array; y: Float64Array } {
  const turn = 2 * Math.PI * random.uniform();
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  let filled = 0;
  for (let first = 0; first < rounds; first++) {
    for (let seed = first; seed < count; seed += rounds, filled++) {
      const radius = Math.sqrt((seed + 0.5) / count);
      x[filled] = radius * Math.cos(turn + seed * GOLDEN_ANGLE);
      y[filled] = radius * Math.sin(turn + seed * GOLDEN_ANGLE);
    }
  }
  return { x, y };
}
