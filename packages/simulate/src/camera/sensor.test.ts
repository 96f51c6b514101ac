import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { Plane } from './plane.js';
import { expose, type Sensor } from './sensor.js';

const PIXELS = 300 * 300;

function flat(level: number): Plane {
  return { width: 300, height: 300, data: new Float32Array(PIXELS).fill(level) };
}

function statistics(values: Float32Array) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
  return { mean, variance };
}

// Variance against mean of flat patches is a straight line: slope K, intercept K²·σd², K = 1/fullScaleElectrons.
// Source: EMVA Standard 1288, Release 4.0, photon transfer.
describe('expose', () => {
  test.each([
    { fullScaleElectrons: 8000, readNoiseElectrons: 3, offset: 0.02 },
    { fullScaleElectrons: 500, readNoiseElectrons: 2, offset: 0.05 },
  ])('photon transfer shows the gain put in: %o', (sensor: Sensor) => {
    const gain = 1 / sensor.fullScaleElectrons;
    const random = seededRandom(11);
    for (const level of [0, 0.002, 0.008, 0.05, 0.2, 0.5, 0.7]) {
      const { mean, variance } = statistics(expose(flat(level), 1, sensor, random));
      const expected = gain * level + (gain * sensor.readNoiseElectrons) ** 2;
      // Standard error of a mean σ/√n, of a variance √(2/n); four of each, n = 90 000.
      expect(Math.abs(mean - sensor.offset - level)).toBeLessThan(4 * Math.sqrt(expected / PIXELS));
      expect(Math.abs(variance / expected - 1)).toBeLessThan(4 * Math.sqrt(2 / PIXELS));
    }
  });

  test('few electrons follow the Poisson law: skewness 1/√mean', () => {
    const sensor = { fullScaleElectrons: 1000, readNoiseElectrons: 0, offset: 0 };
    for (const electrons of [3, 6, 12]) {
      const values = expose(flat(electrons / 1000), 1, sensor, seededRandom(3));
      const { mean, variance } = statistics(values);
      const skewness =
        values.reduce((sum, value) => sum + (value - mean) ** 3, 0) / values.length / variance ** 1.5;
      // Standard error of a skewness about √(6/n) = 0.008; the deviates' skew is right to a few per cent.
      expect(Math.abs(skewness - 1 / Math.sqrt(electrons))).toBeLessThan(0.04);
    }
  });

  test('cuts off at black and at full scale', () => {
    const sensor = { fullScaleElectrons: 100, readNoiseElectrons: 5, offset: 0 };
    const dark = expose(flat(0), 1, sensor, seededRandom(1));
    expect(Math.min(...dark.slice(0, 1000))).toBe(0);
    expect(expose(flat(2), 1, sensor, seededRandom(1)).every((value) => value === 1)).toBe(true);
  });
});
