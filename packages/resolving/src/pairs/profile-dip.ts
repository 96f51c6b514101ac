import { parabolaVertex } from '@twolamp/numeric';

export interface ProfileDip {
  /** 1 − valley ÷ lesser peak; 0 where the peaks have merged. */
  readonly dip: number;
  readonly valley: number;
  /** The peaks to the left and to the right of the valley. */
  readonly peaks: readonly [number, number];
}

/** Steps from the middle to each lamp's image. */
const STEPS = 100;

/**
 * The dip of light along the line of two lamps.
 *
 * The valley is the place between the images that is deepest relative to the lesser of the maxima on both its sides.
 * These maxima are the peaks; they may lie inside or outside the images.
 *
 * @param light - along the line, 0 = middle between the images; any unit of length
 * @param half - from the middle to each image, above 0
 * @param margin - how far outside the images a peak may lie, same unit
 */
export function dipOfProfile(light: (along: number) => number, half: number, margin: number): ProfileDip {
  const step = half / STEPS;
  const side = STEPS + Math.ceil(margin / step);
  const values = Float64Array.from({ length: 2 * side + 1 }, (_, index) => light((index - side) * step));
  const highestFrom = new Int32Array(values.length);
  highestFrom[values.length - 1] = values.length - 1;
  for (let index = values.length - 2; index >= 0; index--) {
    const next = highestFrom[index + 1];
    highestFrom[index] = values[index] >= values[next] ? index : next;
  }
  let left = 0;
  let best = { dip: Number.NEGATIVE_INFINITY, left: side, valley: side, right: side };
  for (let index = 0; index <= side + STEPS; index++) {
    if (values[index] > values[left]) left = index;
    const right = highestFrom[index];
    const lesser = Math.min(values[left], values[right]);
    const dip = lesser > 0 ? 1 - values[index] / lesser : 0;
    if (index >= side - STEPS && dip > best.dip) best = { dip, left, valley: index, right };
  }
  const peaks = [vertex(values, best.left, 1), vertex(values, best.right, 1)] as const;
  const valley = vertex(values, best.valley, -1);
  const lesser = Math.min(...peaks);
  return { dip: best.dip > 0 ? Math.max(0, 1 - valley / lesser) : 0, valley, peaks };
}

/** Height of the parabola through a sample and its neighbours, where that sample is the extreme of the three. */
function vertex(values: Float64Array, index: number, sign: 1 | -1): number {
  const here = values[index];
  if (index === 0 || index === values.length - 1) return here;
  const before = values[index - 1];
  const after = values[index + 1];
  if (!(sign * (here - before) >= 0 && sign * (here - after) >= 0)) return here;
  return parabolaVertex(before, here, after)?.value ?? here;
}
