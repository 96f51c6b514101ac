import { seededRandom } from '@twolamp/optics';
import type { Plane } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { autocorrelation } from './autocorrelation.js';
import { blur } from './blur.js';
import { bandPass } from './filters.js';
import { homography } from './homography.js';

function planeOf(width: number, height: number, value: (x: number, y: number) => number): Plane {
  const data = Float32Array.from({ length: width * height }, (_, n) =>
    value(n % width, Math.floor(n / width)),
  );
  return { width, height, data };
}

describe('blur', () => {
  // A sampled Gaussian, cut off at 4 σ, where 3e-4 of the height is left.
  test.each([1, 2, 3.5])('of a point by %d px is a Gaussian', (sigma) => {
    const [x0, y0] = [26, 19];
    const { width, data } = blur(
      planeOf(61, 41, (x, y) => (x === x0 && y === y0 ? 1 : 0)),
      sigma,
    );
    const top = 1 / (2 * Math.PI * sigma ** 2);
    const misses = data.map((value, n) => {
      const square = ((n % width) - x0) ** 2 + (Math.floor(n / width) - y0) ** 2;
      return Math.abs(value - top * Math.exp(-square / (2 * sigma ** 2)));
    });
    expect(Math.max(...misses)).toBeLessThan(4e-4 * top);
  });

  test('leaves even light even up to the rim, and its input alone', () => {
    const even = planeOf(31, 17, () => 0.37);
    const blurred = blur(even, 4);
    for (const value of blurred.data) expect(Math.abs(value - 0.37)).toBeLessThan(1e-6);
    expect(even.data.every((value) => value === Math.fround(0.37))).toBe(true);
  });
});

test('bandPass lets a wave through by the difference of two Gaussians’ Fourier transforms', () => {
  const [fine, coarse] = [1.5, 5];
  const wave = 2 * Math.PI * 0.08;
  const passed = bandPass(
    planeOf(121, 91, (x) => 2 + Math.cos(wave * (x - 60))),
    fine,
    coarse,
  );
  const gain = Math.exp(-((fine * wave) ** 2) / 2) - Math.exp(-((coarse * wave) ** 2) / 2);
  for (let x = 35; x <= 85; x++) {
    // Cut off at 4 σ, as above.
    expect(Math.abs(passed.data[45 * 121 + x] - gain * Math.cos(wave * (x - 60)))).toBeLessThan(1e-3);
  }
});

describe('autocorrelation', () => {
  const at = ({ width, height, data }: Plane, dx: number, dy: number) =>
    data[((dy + height) % height) * width + ((dx + width) % width)];

  test('is the sum of products at each lag, by definition', () => {
    const random = seededRandom(11);
    const plane = planeOf(19, 13, () => random.normal());
    const reach = 6;
    const result = autocorrelation(plane, reach);
    const sumAt = (dx: number, dy: number) => {
      let sum = 0;
      for (let y = Math.max(0, -dy); y < Math.min(13, 13 - dy); y++) {
        for (let x = Math.max(0, -dx); x < Math.min(19, 19 - dx); x++) {
          sum += plane.data[y * 19 + x] * plane.data[(y + dy) * 19 + x + dx];
        }
      }
      return sum;
    };
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        expect(Math.abs(at(result, dx, dy) - sumAt(dx, dy) / sumAt(0, 0))).toBeLessThan(1e-5);
      }
    }
  });

  test('of a cosine is a cosine, falling as the overlap does', () => {
    const [width, height, wave] = [240, 60, (2 * Math.PI) / 12];
    const result = autocorrelation(
      planeOf(width, height, (x) => Math.cos(wave * x)),
      40,
    );
    for (let lag = 0; lag <= 40; lag++) {
      // The rest, Σ cos(ω(2x + lag)), stays below 1/sin ω of the sum's 120 (a geometric series).
      const rest = 1 / Math.sin(wave) / (width / 2);
      expect(Math.abs(at(result, lag, 0) - (1 - lag / width) * Math.cos(wave * lag))).toBeLessThan(rest);
    }
  });

  test('of darkness is 0 everywhere', () => {
    expect(
      autocorrelation(
        planeOf(20, 10, () => 0),
        5,
      ).data.every((value) => value === 0),
    ).toBe(true);
  });
});

describe('homography', () => {
  const project = ([u, v]: [number, number]) => {
    const w = 0.004 * u - 0.002 * v + 1;
    return [(24 * u + 3 * v + 100) / w, (-2 * u + 25 * v + 60) / w];
  };
  const grid = Array.from({ length: 12 }, (_, n): [number, number] => [n % 4, Math.floor(n / 4)]);

  // The library keeps points in single precision: 180 px to 1e-5 px.
  test('finds the one that moved the points', () => {
    const h = homography(grid.flat(), grid.flatMap(project))!;
    expect(h[8]).toBe(1);
    for (const [u, v] of [
      [0, 0],
      [3, 2],
      [-2, 5],
      [7, 1],
    ] as [number, number][]) {
      const w = h[6] * u + h[7] * v + 1;
      const [x, y] = project([u, v]);
      expect(Math.abs((h[0] * u + h[1] * v + h[2]) / w - x!)).toBeLessThan(1e-4);
      expect(Math.abs((h[3] * u + h[4] * v + h[5]) / w - y!)).toBeLessThan(1e-4);
    }
  });

  test('is null where all points lie in one place', () => {
    expect(homography([1, 1, 1, 1, 1, 1, 1, 1], [0, 0, 1, 0, 1, 1, 0, 1])).toBeNull();
  });
});
