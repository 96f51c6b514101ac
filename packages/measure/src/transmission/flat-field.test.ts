import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { CellLight } from '@twolamp/flux';
import { rootMeanSquare } from '../../../flux/src/fixtures/photon-limit.js';
import { flatFieldCorrected } from './flat-field.js';

const [ROWS, COLUMNS] = [15, 20];
const COUNT = ROWS * COLUMNS;
const u = Float64Array.from({ length: COUNT }, (_, k) => k % COLUMNS);
const v = Float64Array.from({ length: COUNT }, (_, k) => Math.floor(k / COLUMNS));
const area = Float64Array.from(u, (across) => 140 + across);
/** Light on the sheet: brighter to one side, the lens's falling off. */
const falling = (k: number): number =>
  0.5 * (1 + 0.02 * (u[k] - 10)) * (1 - 0.001 * ((u[k] - 9) ** 2 + (v[k] - 7) ** 2));

/** Tubes all alike behind paper with clouds, the bare sheet shot with noise of 0.4 %. */
function make(cloudiness: number) {
  const random = seededRandom(11);
  const level = u.map((_, k) => falling(k) * (1 + cloudiness * random.normal()));
  const light: CellLight = {
    flux: level.map((value, k) => 0.02 * value * area[k]),
    sigma: level.map((value, k) => 1e-5 * value * area[k]),
    clipped: new Uint8Array(COUNT),
  };
  const noise = 0.004;
  return {
    light,
    bare: {
      level: level.map((value) => value * (1 + noise * random.normal())),
      sigma: level.map((value) => noise * value),
    },
  };
}

const scatterOf = ({ flux }: CellLight): number =>
  rootMeanSquare(Array.from(flux, (value) => value / 0.02 - 1));

describe('flatFieldCorrected', () => {
  test('without clouds, the noise of the bare shot is smoothed away', () => {
    const { light, bare } = make(0);
    // 15 terms of a surface fitted to 300 cells keep √(15/300) of the noise; half as much again for what is left.
    expect(scatterOf(flatFieldCorrected(light, bare, { area }, u, v))).toBeLessThan(
      1.5 * 0.004 * Math.sqrt(15 / 300),
    );
  });

  test.each([0.004, 0.01, 0.03])('clouds of %d are taken out down to the noise, as stated', (cloudiness) => {
    const { light, bare } = make(cloudiness);
    const shaded = flatFieldCorrected(light, bare, { area }, u, v);
    // The best mixture of two equally good guesses' errors: the root of the harmonic sum of their variances.
    const best = 1 / Math.hypot(1 / cloudiness, 1 / 0.004);
    expect(scatterOf(shaded)).toBeLessThan(1.25 * best);
    const pulls = Array.from(shaded.flux, (value, k) => (value - 0.02) / shaded.sigma[k]);
    expect(rootMeanSquare(pulls)).toBeGreaterThan(0.85);
    expect(rootMeanSquare(pulls)).toBeLessThan(1.25);
  });
});
