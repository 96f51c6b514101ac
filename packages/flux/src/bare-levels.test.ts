import { describe, expect, test } from 'vitest';
import type { ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture } from './cells-on-picture.js';
import { bareLevels } from './bare-levels.js';

const PITCH = 12;
const cells: CellsOnPicture = {
  x: Float64Array.of(20, 32, 44, 20, 32, 44),
  y: Float64Array.of(20, 20, 20, 32, 32, 32),
  toPitch: new Float64Array(24),
  area: Float64Array.of(144, 144, 140, 144, 150, 144),
  shade: new Float64Array(12),
  pitchPx: PITCH,
  unit: 1,
};

function bareShot(
  light: (x: number, y: number) => number,
  clip = (_x: number, _y: number) => false,
): ReducedPhoto {
  const [width, height] = [64, 52];
  const at = (of: (x: number, y: number) => number) =>
    Float32Array.from({ length: width * height }, (_, n) => of(n % width, Math.floor(n / width)));
  return { width, height, factor: 1, data: at(light), clipped: at((x, y) => (clip(x, y) ? 1 : 0)) };
}

describe('bareLevels', () => {
  test('the illuminance of a sloping sheet is that at each cell', () => {
    const { level, clipped } = bareLevels(
      bareShot((x, y) => 0.3 + 0.002 * x - 0.001 * y),
      cells,
    );
    expect(clipped).toBe(false);
    level.forEach((value, k) => {
      expect(Math.abs(value - (0.3 + 0.002 * cells.x[k] - 0.001 * cells.y[k]))).toBeLessThan(1e-6);
    });
  });

  test('tells where it is clipped under a cell, and only there', () => {
    expect(
      bareLevels(
        bareShot(
          () => 0.5,
          (x, y) => x === 45 && y === 30,
        ),
        cells,
      ).clipped,
    ).toBe(true);
    expect(
      bareLevels(
        bareShot(
          () => 0.5,
          (x, y) => x === 60 && y === 50,
        ),
        cells,
      ).clipped,
    ).toBe(false);
  });

  test('a cell that is cut off by the picture’s rim goes by what is seen of it', () => {
    const rim: CellsOnPicture = { ...cells, x: cells.x.map((x) => x - 18) };
    for (const level of bareLevels(
      bareShot(() => 0.25),
      rim,
    ).level)
      expect(level).toBeCloseTo(0.25, 9);
  });
});
