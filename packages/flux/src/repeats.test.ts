import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { CellLight } from './cell-light.js';
import { averageLights, disagreement } from './repeats.js';

const CELLS = 4000;
const TRUE_LIGHT = Float64Array.from({ length: CELLS }, (_, k) => 10 + (k % 7));
const SIGMA = Float64Array.from({ length: CELLS }, (_, k) => 0.1 + 0.02 * (k % 5));

/** Repeats of the same cells whose stated uncertainty is `scatter` times too small. */
function repeats(count: number, scatter: number, seed: number): CellLight[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => ({
    flux: TRUE_LIGHT.map((value, k) => value + scatter * SIGMA[k] * random.normal()),
    sigma: SIGMA,
    clipped: new Uint8Array(CELLS),
  }));
}

const pullsOf = (light: CellLight) => light.flux.map((value, k) => (value - TRUE_LIGHT[k]) / light.sigma[k]);
const spread = (values: Float64Array) =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe('averageLights', () => {
  test('means, uncertainties and flags as worked out by hand', () => {
    const mean = averageLights([
      { flux: Float64Array.of(4, 10), sigma: Float64Array.of(0.3, 1), clipped: Uint8Array.of(0, 1) },
      { flux: Float64Array.of(6, 11), sigma: Float64Array.of(0.4, 1), clipped: Uint8Array.of(0, 0) },
    ]);
    expect([...mean.flux]).toEqual([5, 10.5]);
    // √(0.3² + 0.4²)/2 and √2/2; two cells are too few to judge their scatter.
    expect(mean.sigma[0]).toBeCloseTo(0.25, 12);
    expect(mean.sigma[1]).toBeCloseTo(Math.SQRT1_2, 12);
    expect([...mean.clipped]).toEqual([0, 1]);
  });

  test('one shot comes back as it is', () => {
    const [only] = repeats(1, 1, 1);
    expect(averageLights([only!])).toBe(only);
  });

  // 4000 cells tell their scatter to about 2 %, by the median absolute deviation.
  test.each([2, 3, 5])('%i repeats: uncertainty over √n where it was true', (count) => {
    const mean = averageLights(repeats(count, 1, 20 + count));
    const ratios = mean.sigma.map((sigma, k) => sigma / (SIGMA[k] / Math.sqrt(count)));
    expect(Math.min(...ratios)).toBeGreaterThanOrEqual(1 - 1e-12);
    expect(Math.max(...ratios)).toBeLessThan(1.05);
  });

  test.each([
    [2, 3],
    [3, 1.5],
    [5, 4],
  ])('%i repeats that scatter %d times as much: the uncertainty grows until it is true', (count, scatter) => {
    const pulls = pullsOf(averageLights(repeats(count, scatter, 40 + count)));
    expect(Math.abs(spread(pulls) - 1)).toBeLessThan(0.06);
  });

  test('repeats that are brighter or darker as a whole don’t make it grow', () => {
    const lights = repeats(3, 1, 60).map((light, n) => ({
      ...light,
      flux: light.flux.map((value) => value * [0.97, 1.02, 1.01][n]),
    }));
    const mean = averageLights(lights);
    expect(mean.sigma[0] / (SIGMA[0] / Math.sqrt(3))).toBeLessThan(1.05);
  });

  test('repeats that scatter less don’t shrink it', () => {
    const mean = averageLights(repeats(4, 0.3, 9));
    expect(mean.sigma[0]).toBeCloseTo(SIGMA[0] / 2, 12);
  });
});

describe('repeats that disagree in some cells', () => {
  const SPOILT = [100, 101, 2000];
  /** As in a TIFF of which some rows are lost. */
  const spoilt = (light: CellLight): CellLight => ({
    ...light,
    flux: light.flux.map((value, k) => (SPOILT.includes(k) ? 0 : value)),
  });
  const withSpoilt = (count: number, at: number) =>
    repeats(count, 1, 80 + count).map((light, n) => (n === at ? spoilt(light) : light));

  test.each([2, 3, 5])('%i that agree name none', (count) => {
    expect(disagreement(repeats(count, 1, 70 + count))).toBeNull();
    expect(disagreement(repeats(count, 4, 70 + count))).toBeNull();
  });

  test('one shot has nothing to disagree with', () => {
    expect(disagreement(repeats(1, 1, 1))).toBeNull();
  });

  test('two: nobody can tell which is right, and the mean is uncertain by half their difference', () => {
    const lights = withSpoilt(2, 1);
    expect(disagreement(lights)).toEqual({ cells: SPOILT, odd: null });
    const { flux, sigma } = averageLights(lights);
    for (const k of SPOILT) {
      expect(Math.abs(flux[k]! - TRUE_LIGHT[k]!)).toBeLessThan(1.2 * sigma[k]!);
      expect(sigma[k]).toBeGreaterThan(0.45 * TRUE_LIGHT[k]!);
    }
    expect(sigma[5]! / (SIGMA[5]! / Math.SQRT2)).toBeLessThan(1.05);
  });

  test.each([3, 5])('%i: the odd one is told, and the others give the light', (count) => {
    const lights = withSpoilt(count, 1);
    expect(disagreement(lights)).toEqual({ cells: SPOILT, odd: 1 });
    const { flux, sigma } = averageLights(lights);
    for (const k of SPOILT) expect(Math.abs(flux[k]! - TRUE_LIGHT[k]!)).toBeLessThan(4 * sigma[k]!);
  });
});
