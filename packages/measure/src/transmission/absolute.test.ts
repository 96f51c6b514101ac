import { describe, expect, test } from 'vitest';
import type { CellLight } from '../cell-light.js';
import { testArray } from '../fixtures/draw-cells.js';
import type { CellsOnPicture } from '../flux/cells-on-picture.js';
import type { ReducedPhoto } from '../light/plane.js';
import { absoluteTransmission, bareLevels } from './absolute.js';

const array = testArray(2, 3);
const PITCH = 12;
const cells: CellsOnPicture = {
  x: Float64Array.of(20, 32, 44, 20, 32, 44),
  y: Float64Array.of(20, 20, 20, 32, 32, 32),
  toPitch: new Float64Array(24),
  area: Float64Array.of(144, 144, 140, 144, 150, 144),
  shade: new Float64Array(12),
  pitchPx: PITCH,
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
      expect(Math.abs(value - (0.3 + 0.002 * cells.x[k]! - 0.001 * cells.y[k]!))).toBeLessThan(1e-6);
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

describe('absoluteTransmission', () => {
  // A tube that passes the share T of the light E on its bore lights the sheet with T·E·(bore area): here bores of
  // 2.4 mm at 3 mm pitch, π/4·0.64 pitches².
  const truth = [0.01, 0.02, 0.0005, 0, 0.5, 1];
  const level = Float64Array.of(0.4, 0.42, 0.44, 0.4, 0.38, 0.4);
  const lightOf = (): CellLight => ({
    flux: Float64Array.from(truth, (share, k) => share * level[k]! * (Math.PI / 4) * 0.64 * cells.area[k]!),
    sigma: new Float64Array(6).fill(0.02),
    clipped: new Uint8Array(6),
  });

  test('is the share of light that was put in', () => {
    const { absolute } = absoluteTransmission(
      lightOf(),
      { level, sigma: new Float64Array(6) },
      cells,
      array,
      0.1,
    );
    absolute.forEach((value, k) => {
      expect(Math.abs(value - truth[k]!)).toBeLessThan(1e-12);
    });
  });

  test('twice the exposure of both shots changes nothing', () => {
    const light = lightOf();
    const once = absoluteTransmission(
      light,
      { level, sigma: level.map((value) => 0.01 * value) },
      cells,
      array,
      0.1,
    );
    const twice = absoluteTransmission(
      { ...light, flux: light.flux.map((value) => 2 * value), sigma: light.sigma.map((value) => 2 * value) },
      { level: level.map((value) => 2 * value), sigma: level.map((value) => 0.02 * value) },
      cells,
      array,
      0.1,
    );
    expect(twice.absolute).toEqual(once.absolute);
    twice.sigma.forEach((value, k) => {
      expect(Math.abs(value / once.sigma[k]! - 1)).toBeLessThan(1e-12);
    });
  });

  test('its uncertainty is no less than the counts’, and no less than the bare sheet’s', () => {
    const { absolute, sigma } = absoluteTransmission(
      lightOf(),
      { level, sigma: level.map((value) => 0.05 * value) },
      cells,
      array,
      0,
    );
    sigma.forEach((value, k) => {
      expect(value).toBeGreaterThanOrEqual(0.02 / (level[k]! * (Math.PI / 4) * 0.64 * cells.area[k]!));
      expect(value).toBeGreaterThanOrEqual(0.05 * absolute[k]!);
    });
  });
});
