import { describe, expect, test } from 'vitest';
import type { CellsOnPicture } from './cells-on-picture.js';
import { lightAt, WING_SIGMAS, wingLight, wingParts, wingShare } from './wings.js';

const PITCH = 15;
const cellsAt = (x: number[], y: number[]): CellsOnPicture => ({
  x: Float64Array.from(x),
  y: Float64Array.from(y),
  toPitch: Float64Array.from(x.flatMap(() => [1 / PITCH, 0, 0, 1 / PITCH])),
  area: Float64Array.from(x, () => PITCH * PITCH),
  shade: new Float64Array(2 * x.length),
  pitchPx: PITCH,
  unit: 1,
});

describe('a part of the wings', () => {
  const cells = cellsAt([100.3], [80.7]);
  const parts = wingParts(cells, Float64Array.of(7));

  // Worked out on a grid of thirds of a pitch, which widens a Gaussian of 0.8 pitches by some 2 % each way.
  test.each(WING_SIGMAS.map((sigma, n) => [sigma, n]))('of %d pitches is a Gaussian', (sigma, n) => {
    const spread = 2 * (sigma * PITCH) ** 2;
    const top = 7 / (Math.PI * spread);
    for (const [dx, dy] of [
      [0, 0],
      [0.5, 0],
      [0, -1],
      [-1, 1],
      [2, 0.3],
      [0, 3],
    ] as const) {
      const light = lightAt(parts[n], 100.3 + dx * PITCH, 80.7 + dy * PITCH);
      const gaussian = top * Math.exp(-((dx * PITCH) ** 2 + (dy * PITCH) ** 2) / spread);
      expect(Math.abs(light - gaussian)).toBeLessThan(0.06 * top);
    }
  });

  // What lies beyond the grid, 8 pitches and more away, is lost: 2 exp(−(8/3.2)²/2) of the widest.
  test.each(WING_SIGMAS.map((sigma, n) => [sigma, n]))('of %d pitches keeps all its light', (_, n) => {
    let sum = 0;
    for (let y = -60; y < 220; y++) for (let x = -40; x < 240; x++) sum += lightAt(parts[n], x, y);
    expect(Math.abs(sum / 7 - 1)).toBeLessThan(n === 2 ? 0.09 : 0.01);
  });

  test('is 0 far away', () => {
    expect(lightAt(parts[0], -1000, 80)).toBe(0);
    expect(lightAt(parts[0], 100, 1000)).toBe(0);
  });
});

test('the wings adds up over its parts and cells', () => {
  const cells = cellsAt([60, 75, 90], [60, 62, 60]);
  const flux = Float64Array.of(1, 0.5, 2);
  const wings = { shares: Float64Array.of(0.1, 0.05, 0.02) };
  const whole = wingLight(cells, flux, wings);
  for (const [x, y] of [
    [60, 60],
    [81.4, 55.2],
    [120, 80],
  ] as const) {
    let sum = 0;
    for (let k = 0; k < 3; k++) {
      const one = wingParts(
        cells,
        flux.map((value, other) => (other === k ? value : 0)),
      );
      one.forEach((part, n) => {
        sum += wings.shares[n] * lightAt(part, x, y);
      });
    }
    expect(Math.abs(lightAt(whole, x, y) - sum)).toBeLessThan(1e-6 * sum);
  }
  expect(wingShare(wings)).toBeCloseTo(0.17, 12);
});
