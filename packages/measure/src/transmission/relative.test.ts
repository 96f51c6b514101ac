import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { CellLight } from '@twolamp/flux';
import { rootMeanSquare } from '../../../flux/src/fixtures/photon-limit.js';
import { relativeTransmission } from './relative.js';

const [ROWS, COLUMNS] = [20, 26];
const COUNT = ROWS * COLUMNS;
const u = Float64Array.from({ length: COUNT }, (_, k) => k % COLUMNS);
const v = Float64Array.from({ length: COUNT }, (_, k) => Math.floor(k / COLUMNS));

/** Light that falls on the cells: the lens's falling off, cos⁴ up to 25° in the corners, and a lamp at the left. */
const falling = (k: number): number => {
  const [p, q] = [(2 * u[k]) / (COLUMNS - 1) - 1, (2 * v[k]) / (ROWS - 1) - 1];
  const tan = Math.tan((25 * Math.PI) / 180) * Math.hypot(p, q) * Math.SQRT1_2;
  return (1 + tan * tan) ** -2 * (1 - 0.25 * p);
};

interface Made {
  readonly light: CellLight;
  readonly truth: Float64Array;
}

/** Tubes that scatter by `scatter` about 1, but for the odd ones given; noise of 0.3 %. */
function make(seed: number, scatter: number, odd: (k: number) => number | null = () => null): Made {
  const random = seededRandom(seed);
  const truth = u.map((_, k) => odd(k) ?? 1 + scatter * random.normal());
  const sigma = u.map((_, k) => 0.003 * falling(k));
  const flux = truth.map((value, k) => 80 * (value * falling(k) + sigma[k] * random.normal()));
  return { truth, light: { flux, sigma: sigma.map((value) => 80 * value), clipped: new Uint8Array(COUNT) } };
}

/** A cluster of dark tubes, weak ones and open ones, a twelfth of all. */
const faults = (k: number): number | null => {
  if (u[k] >= 18 && u[k] < 23 && v[k] < 5) return 0;
  if (k % 47 === 0) return 0.5;
  return k % 71 === 0 ? 4 : null;
};

describe('relativeTransmission', () => {
  test.each<[string, number, typeof faults | undefined]>([
    ['healthy tubes, alike', 0.005, undefined],
    ['healthy tubes, unlike', 0.03, undefined],
    ['dark, weak and open ones among them', 0.03, faults],
  ])('%s: the trend is out to well below their scatter', (_, scatter, odd) => {
    const { light, truth } = make(3, scatter, odd);
    const { relative } = relativeTransmission(light, u, v, 0);
    const misses = Array.from(relative, (value, k) => value - truth[k]).filter((_, k) => truth[k] < 2);
    // 15 terms fitted to some 500 tubes: scatter · √(15/500), and the noise.
    expect(rootMeanSquare(misses)).toBeLessThan(Math.hypot(1.3 * scatter * Math.sqrt(15 / 480), 0.0045));
    expect(Math.max(...misses.map(Math.abs))).toBeLessThan(5 * Math.hypot(scatter * 0.4, 0.004));
  });

  test('uncertainties are true', () => {
    const pulls: number[] = [];
    for (let seed = 1; seed <= 12; seed++) {
      const { light, truth } = make(seed, 0.02, (k) => (k % 47 === 0 ? 0.5 : null));
      const { relative, sigma } = relativeTransmission(light, u, v, 0);
      relative.forEach((value, k) => {
        pulls.push((value - truth[k]) / sigma[k]);
      });
    }
    expect(rootMeanSquare(pulls)).toBeGreaterThan(0.9);
    expect(rootMeanSquare(pulls)).toBeLessThan(1.2);
  });

  test('light that the paper scatters counts towards the uncertainty', () => {
    const random = seededRandom(8);
    const { light, truth } = make(4, 0.03);
    const clouded = { ...light, flux: light.flux.map((value) => value * (1 + 0.02 * random.normal())) };
    const { relative, sigma } = relativeTransmission(clouded, u, v, 0.02);
    const pulls = Array.from(relative, (value, k) => (value - truth[k]) / sigma[k]);
    expect(rootMeanSquare(pulls)).toBeGreaterThan(0.9);
    expect(rootMeanSquare(pulls)).toBeLessThan(1.2);
  });

  test('any brightness of the photo gives the same', () => {
    const { light } = make(5, 0.03, faults);
    const times = (values: Float64Array) => values.map((value) => 7 * value);
    const brighter = relativeTransmission(
      { ...light, flux: times(light.flux), sigma: times(light.sigma) },
      u,
      v,
      0,
    );
    const plain = relativeTransmission(light, u, v, 0);
    const apart = brighter.relative.map((value, k) => Math.abs(value - plain.relative[k]));
    expect(Math.max(...apart)).toBeLessThan(1e-9);
  });

  test('a clipped cell doesn’t shape the trend', () => {
    const { light } = make(6, 0.01);
    const clipped = light.clipped.map((_, k) => (u[k] >= 22 ? 1 : 0));
    const cut = light.flux.map((value, k) => (clipped[k] ? 0.85 * value : value));
    const whole = relativeTransmission({ ...light, clipped }, u, v, 0).relative;
    const { relative } = relativeTransmission({ ...light, flux: cut, clipped }, u, v, 0);
    relative.forEach((value, k) => {
      expect(Math.abs(value / whole[k] - (clipped[k] ? 0.85 : 1))).toBeLessThan(1e-12);
    });
  });

  test('in the dark there is nothing to compare', () => {
    const dark: CellLight = {
      flux: new Float64Array(COUNT),
      sigma: new Float64Array(COUNT).fill(1),
      clipped: new Uint8Array(COUNT),
    };
    expect(() => relativeTransmission(dark, u, v, 0)).toThrow(RangeError);
  });
});
