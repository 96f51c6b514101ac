import { describe, expect, test } from 'vitest';
import type { CellLight, CellsOnPicture } from '@twolamp/flux';
import { testArray } from '../../../places/src/fixtures/draw-cells.js';
import { absoluteTransmission } from './absolute.js';

const array = testArray(2, 3);
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

describe('absoluteTransmission', () => {
  // A tube that passes the share T of the light E on its bore lights the sheet with T·E·(bore area): here bores of
  // 2.4 mm at 3 mm pitch, π/4·0.64 pitches².
  const truth = [0.01, 0.02, 0.0005, 0, 0.5, 1];
  const level = Float64Array.of(0.4, 0.42, 0.44, 0.4, 0.38, 0.4);
  const lightOf = (): CellLight => ({
    flux: Float64Array.from(truth, (share, k) => share * level[k] * (Math.PI / 4) * 0.64 * cells.area[k]),
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
      expect(Math.abs(value - truth[k])).toBeLessThan(1e-12);
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
      expect(Math.abs(value / once.sigma[k] - 1)).toBeLessThan(1e-12);
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
      expect(value).toBeGreaterThanOrEqual(0.02 / (level[k] * (Math.PI / 4) * 0.64 * cells.area[k]));
      expect(value).toBeGreaterThanOrEqual(0.05 * absolute[k]);
    });
  });
});
