import { requireNotNegative, requirePositive } from '../check.js';

/** What two summed copies of one lamp's response look like along the lamps' line. */
export interface PairProfile {
  /** 1 − valley ÷ lesser peak; 0 where there is no valley. */
  readonly dip: number;
  readonly valley: number;
  /** Highest place on either side of the valley: the true maxima of the sum, not its values at the lamps' images. */
  readonly peaks: readonly [number, number];
}

const SAMPLES = 512;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const REFINING_STEPS = 40;

/**
 * The dip between two equal lamps.
 *
 * @param response - one lamp's response, along a line, in any unit of length; one peak, within ±width of 0
 * @param separation - between the two lamps' images, same unit, 0 or more
 * @param width - about the response's full width, same unit: how far from an image the search for its peak goes
 *
 * The peaks are looked for numerically, since the sum's maxima move away from the images of the lamps.
 */
export function pairDip(response: (x: number) => number, separation: number, width: number): PairProfile {
  requireNotNegative('separation', separation);
  requirePositive('width', width);
  const centre = highestNear(response, -width, width);
  const half = separation / 2;
  const sum = (x: number) => response(centre + x - half) + response(centre + x + half);
  const { at, step } = lowestCandidate(sum, half, half + width);
  const left = highestNear(sum, -half - width, at);
  const right = highestNear(sum, at, half + width);
  const valley = sum(refine((x) => -sum(x), at - step, at + step));
  const peaks: [number, number] = [sum(left), sum(right)];
  const lesser = Math.min(...peaks);
  return { dip: lesser > 0 ? Math.max(0, 1 - valley / lesser) : 0, valley, peaks };
}

/** The place of the search grid between the images at which the sum falls deepest below what stands on both sides. */
function lowestCandidate(sum: (x: number) => number, half: number, reach: number) {
  const step = (2 * reach) / SAMPLES;
  const values = Float64Array.from({ length: SAMPLES + 1 }, (_, i) => sum(-reach + i * step));
  const rightMost = values.slice();
  for (let i = SAMPLES - 1; i >= 0; i--) rightMost[i] = Math.max(values[i], rightMost[i + 1]);
  let leftMost = 0;
  let deepest = -Infinity;
  let at = 0;
  for (let i = 0; i <= SAMPLES; i++) {
    leftMost = Math.max(leftMost, values[i]);
    const x = -reach + i * step;
    const depth = 1 - values[i] / Math.min(leftMost, rightMost[i]);
    // Outside the images a valley belongs to the side lobes of the response, not to the pair.
    if (
      Math.abs(x) <= half + step &&
      (depth > deepest || (depth === deepest && Math.abs(x) < Math.abs(at)))
    ) {
      deepest = depth;
      at = x;
    }
  }
  return { at, step };
}

/** Place of the highest value: best of a grid, then refined. */
function highestNear(f: (x: number) => number, from: number, to: number): number {
  const step = (to - from) / SAMPLES;
  let best = 0;
  let highest = -Infinity;
  for (let i = 0; i <= SAMPLES; i++) {
    const value = f(from + i * step);
    if (value > highest) {
      highest = value;
      best = i;
    }
  }
  return refine(f, from + Math.max(0, best - 1) * step, from + Math.min(SAMPLES, best + 1) * step);
}

/** Golden-section search for the maximum between two places (Kiefer, Proc. Amer. Math. Soc. 4:502, 1953). */
function refine(f: (x: number) => number, from: number, to: number): number {
  let low = from;
  let high = to;
  let a = high - GOLDEN * (high - low);
  let b = low + GOLDEN * (high - low);
  let fa = f(a);
  let fb = f(b);
  for (let i = 0; i < REFINING_STEPS; i++) {
    if (fa >= fb) {
      high = b;
      b = a;
      fb = fa;
      a = high - GOLDEN * (high - low);
      fa = f(a);
    } else {
      low = a;
      a = b;
      fa = fb;
      b = low + GOLDEN * (high - low);
      fb = f(b);
    }
  }
  return (low + high) / 2;
}
