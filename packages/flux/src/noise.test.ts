import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { blur } from '@twolamp/places';
import type { CellsOnPicture } from './cells-on-picture.js';
import { noiseFromResidual, weightsOf } from './noise.js';
import { cellEquations } from './normal-equations.js';
import { overlappingPairs } from './overlapping-pairs.js';
import type { Region } from './region.js';
import { solveNormal } from './solve-normal.js';
import { spotNoiseFactor } from './spot-noise.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps } from './stamps.js';

const [WIDTH, HEIGHT] = [240, 200];
const SIZE = WIDTH * HEIGHT;
const region: Region = {
  width: WIDTH,
  height: HEIGHT,
  counted: SIZE,
  runs: Int32Array.of(0, SIZE),
  pairs: { start: new Int32Array(1), second: new Int32Array() },
};
const all = new Uint8Array(SIZE).fill(1);

describe('noiseFromResidual', () => {
  const light = Float32Array.from({ length: SIZE }, (_, at) => 0.02 + 0.6 * ((at % WIDTH) / WIDTH) ** 2);
  const draw = (floor: number, gain: number, seed: number) => {
    const random = seededRandom(seed);
    return light.map((value) => random.normal() * Math.sqrt(floor + gain * value));
  };

  // 24 bins of 1200 to 2000 squares by their median: each variance to 4 %, the line's ends to some 3 %.
  test.each([
    [1e-5, 1e-4],
    [4e-6, 2e-3],
    [1e-4, 1e-4],
  ])('finds read noise %d and gain %d', (floor, gain) => {
    const noise = noiseFromResidual(region, draw(floor, gain, 3), light, all);
    for (const value of [0.02, 0.1, 0.3, 0.6]) {
      expect(Math.abs((noise.floor + noise.gain * value) / (floor + gain * value) - 1)).toBeLessThan(0.1);
    }
  });

  test('is not drawn aside by a few wild pixels, nor by unusable ones', () => {
    const residual = draw(1e-5, 1e-4, 5).map((value, at) => (at % 50 === 0 ? 1 : value));
    const usable = all.map((_, at) => (at % 3 === 1 ? 0 : 1));
    for (let at = 1; at < SIZE; at += 3) residual[at] = 5;
    const noise = noiseFromResidual(region, residual, light, usable);
    for (const value of [0.05, 0.5]) {
      // A fiftieth wild raises the median square by about a twentieth.
      expect(Math.abs((noise.floor + noise.gain * value) / (1e-5 + 1e-4 * value) - 1)).toBeLessThan(0.15);
    }
  });

  test('in even light it is all floor or all gain, but right', () => {
    const even = light.map(() => 0.25);
    const random = seededRandom(7);
    const noise = noiseFromResidual(
      region,
      even.map(() => 0.01 * random.normal()),
      even,
      all,
    );
    expect(Math.abs((noise.floor + noise.gain * 0.25) / 1e-4 - 1)).toBeLessThan(0.1);
  });

  test('noise that falls with the light gives no negative gain', () => {
    const random = seededRandom(9);
    const residual = light.map((value) => random.normal() * Math.sqrt(1e-3 * (0.7 - value)));
    expect(noiseFromResidual(region, residual, light, all).gain).toBe(0);
  });
});

test('weightsOf: one over the variance where pixels count', () => {
  const weights = weightsOf(
    { floor: 1e-4, gain: 2e-3 },
    Float32Array.of(0, 0.05, -1, 0.5),
    Uint8Array.of(1, 1, 1, 0),
  );
  [1e4, 5e3, 1e4, 0].forEach((value, n) => {
    expect(Math.abs(weights[n] - value)).toBeLessThan(1e-3);
  });
});

describe('spotNoiseFactor', () => {
  const pitch = 14;
  const [rows, columns] = [12, 15];
  const count = rows * columns;
  const cells: CellsOnPicture = {
    x: Float64Array.from({ length: count }, (_, k) => 20.3 + (k % columns) * (pitch + 0.03)),
    y: Float64Array.from({ length: count }, (_, k) => 18.8 + Math.floor(k / columns) * (pitch + 0.07)),
    toPitch: Float64Array.from({ length: 4 * count }, (_, n) => (n % 4 === 0 || n % 4 === 3 ? 1 / pitch : 0)),
    area: new Float64Array(count).fill(pitch * pitch),
    shade: new Float64Array(2 * count),
    pitchPx: pitch,
    unit: 1,
  };
  const stamps = makeStamps(cells, () => roundProfile(0.38, 0.06), WIDTH, HEIGHT);
  const sigma = 0.01;
  const weights = new Float32Array(SIZE).fill(1 / sigma ** 2);
  const pairs = overlappingPairs(cells);
  const blank = { width: WIDTH, height: HEIGHT, data: new Float32Array(SIZE), weights };
  const { matrix } = cellEquations(stamps, pairs, blank);

  /** Scatter of the lights that noise alone gives, against what white noise would. */
  function scatterOf(noise: Float32Array): number {
    const { values } = solveNormal(matrix, cellEquations(stamps, pairs, { ...blank, data: noise }).right);
    const squares = Array.from(values, (value, k) => value * value * matrix.diagonal[k]);
    return Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / count);
  }
  /** Noise with a standard deviation of `sigma` a pixel, smoothed. */
  function noiseOf(smoothPx: number, seed: number): Float32Array {
    const random = seededRandom(seed);
    const white = {
      width: WIDTH,
      height: HEIGHT,
      data: Float32Array.from({ length: SIZE }, () => random.normal()),
    };
    const data = smoothPx > 0 ? blur(white, smoothPx).data : white.data;
    const spread = Math.sqrt(data.reduce((sum, value) => sum + value * value, 0) / SIZE);
    return data.map((value) => (value * sigma) / spread);
  }

  // 360 probes, by their median: to 6 %.
  test.each([1, 2, 3])('is 1 for white noise (%i)', (seed) => {
    expect(Math.abs(spotNoiseFactor(cells, stamps, noiseOf(0, seed), weights, WIDTH) - 1)).toBeLessThan(0.15);
  });

  // The scatter of 180 lights is known to 5 %. The probes' pattern is finer than a spot and sees less of coarse noise, so
  // that the factor stays below the truth: by a seventh where noise is smoothed by 0.6 px, by a third at 1 px.
  test.each([
    [0.4, 0.7],
    [0.6, 0.6],
    [1, 0.35],
  ])('under noise smoothed by %d px it goes at least %d of the way', (smoothPx, least) => {
    const noise = noiseOf(smoothPx, 20);
    const factor = spotNoiseFactor(cells, stamps, noise, weights, WIDTH);
    const scatter = scatterOf(noise);
    expect(factor - 1).toBeGreaterThan(least * (scatter - 1));
    expect(factor).toBeLessThan(1.1 * scatter);
  });

  test('is blind to round misfits: they are no noise', () => {
    const residual = noiseOf(0, 30);
    for (let k = 0; k < count; k++) {
      for (let y = Math.ceil(cells.y[k] - 6); y < cells.y[k] + 6; y++) {
        for (let x = Math.ceil(cells.x[k] - 6); x < cells.x[k] + 6; x++) {
          residual[y * WIDTH + x] += 3 * sigma * Math.exp(-Math.hypot(x - cells.x[k], y - cells.y[k]) / 2);
        }
      }
    }
    expect(spotNoiseFactor(cells, stamps, residual, weights, WIDTH)).toBeLessThan(1.15);
  });

  test('is 1 where there are too few cells to tell', () => {
    const few: CellsOnPicture = { ...cells, x: cells.x.slice(0, 20), y: cells.y.slice(0, 20) };
    const fewStamps = makeStamps(few, () => roundProfile(0.38, 0.06), WIDTH, HEIGHT);
    expect(spotNoiseFactor(few, fewStamps, noiseOf(1, 4), weights, WIDTH)).toBe(1);
  });
});
