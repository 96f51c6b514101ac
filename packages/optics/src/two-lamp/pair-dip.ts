import { requireNotNegative, requirePositive } from '../check.js';

/** What two summed copies of one lamp's response look like along the lamps' line. */
export interface PairProfile {
  /** 1 − valley ÷ lesser peak; 0 where the two have merged into one peak, which valley and peaks then all are. */
  readonly dip: number;
  readonly valley: number;
  /** Highest place on either side of the valley: the true maxima of the sum, not its values at the lamps' images. */
  readonly peaks: readonly [number, number];
}

const SAMPLES = 512;
const SAMPLES_PER_WIDTH = 16;
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
  const { at, step, depth } = deepestValley(sum, half, width);
  if (depth === 0) {
    const merged = sum(highestNear(sum, -half - width, half + width));
    return { dip: 0, valley: merged, peaks: [merged, merged] };
  }
  const left = highestNear(sum, -half - width, Math.min(at, -half + width));
  const right = highestNear(sum, Math.max(at, half - width), half + width);
  const valley = sum(refine((x) => -sum(x), at - step, at + step));
  const peaks: [number, number] = [sum(left), sum(right)];
  const lesser = Math.min(...peaks);
  return { dip: 1 - valley / lesser, valley, peaks };
}

/** The place of the search grid between the images at which the sum falls deepest below what stands on both sides. */
function deepestValley(sum: (x: number) => number, half: number, width: number) {
  const reach = half + width;
  const samples = Math.max(SAMPLES, Math.ceil((SAMPLES_PER_WIDTH * 2 * reach) / width));
  const step = (2 * reach) / samples;
  const values = Float64Array.from({ length: samples + 1 }, (_, i) => sum(-reach + i * step));
  const highestAfter = values.slice();
  for (let i = samples - 1; i >= 0; i--) highestAfter[i] = Math.max(values[i], highestAfter[i + 1]);
  let highestBefore = 0;
  let depth = 0;
  let at = 0;
  for (let i = 0; i <= samples; i++) {
    highestBefore = Math.max(highestBefore, values[i]);
    const x = -reach + i * step;
    const depthHere = 1 - values[i] / Math.min(highestBefore, highestAfter[i]);
    // Outside the images a valley belongs to the side lobes of the response, not to the pair.
    if (Math.abs(x) <= half && depthHere > depth) {
      depth = depthHere;
      at = x;
    }
  }
  return { at, step, depth };
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
