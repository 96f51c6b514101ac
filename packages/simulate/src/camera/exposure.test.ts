import { describe, expect, test } from 'vitest';
import { chooseExposure, fullScaleLuxSeconds } from './exposure.js';

const filled = (lux: number, { seconds, iso }: { seconds: number; iso: number }) =>
  (lux * seconds * iso) / (100 * fullScaleLuxSeconds(1.8));

describe('chooseExposure', () => {
  test.each([0.3, 5, 80, 3000, 20_000])('puts %d lx near 70 %% of full scale', (lux) => {
    const share = filled(lux, chooseExposure(lux, 1.8, 2));
    expect(share).toBeLessThanOrEqual(0.72);
    // Nominal third stops lie up to a third of a stop and a rounding apart.
    expect(share).toBeGreaterThan(0.5);
  });

  test('raises the ISO only when the time is used up', () => {
    expect(chooseExposure(50, 1.8, 2).iso).toBe(100);
    expect(chooseExposure(0.5, 1.8, 2)).toMatchObject({ seconds: 2 });
    expect(chooseExposure(0.5, 1.8, 2).iso).toBeGreaterThan(100);
  });

  test('takes the longest time at ISO 100 where there is no light, and the least exposure where there is too much', () => {
    expect(chooseExposure(0, 1.8, 2)).toEqual({ seconds: 2, iso: 100 });
    expect(chooseExposure(1e9, 1.8, 2)).toEqual({ seconds: 1 / 8000, iso: 100 });
  });
});
