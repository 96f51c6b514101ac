import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { LAMP_ARRAY } from '../../../flux/src/fixtures/lamp-lights.js';
import { acceptanceProfile } from '../pointing/tube-shape.js';
import { type ModelTube, meanDip } from './mean-dip.js';

/** Slope of the Gaussian acceptance's standard deviation: a good three cells of this array. */
const SIGMA = 0.012;
const ARRAY: ArraySpec = { ...LAMP_ARRAY, rows: 13, columns: 17 };
const PAIR = { spacingMm: 72, distanceMm: 2000 };
const knots = Float64Array.from({ length: 161 }, (_, i) => (i * SIGMA) / 32);
const GAUSSIAN = acceptanceProfile({
  knots,
  values: knots.map((r) => Math.exp(-0.5 * (r / SIGMA) ** 2)),
  derivatives: knots.map((r) => (-r / SIGMA ** 2) * Math.exp(-0.5 * (r / SIGMA) ** 2)),
});

const TYPICAL: ModelTube = { fieldAcross: 0, fieldUp: 0, light: 1, shape: null, leak: null };
const typicalTubes = () => Array.from({ length: 13 * 17 }, () => TYPICAL);
const MIDDLE = 6 * 17 + 8;

/** Two Gaussians three standard deviations apart: valley 2·exp(−9/8) against a peak of 1 + exp(−9/2), less a trifle. */
const DUE = 1 - (2 * Math.exp(-9 / 8)) / (1 + Math.exp(-9 / 2));

describe('meanDip', () => {
  test('typical tubes paint the dip of two Gaussians', () => {
    // The peaks lie a little inwards of the images and higher, by some 0.4 %.
    expect(Math.abs(meanDip(ARRAY, GAUSSIAN, typicalTubes(), PAIR).mean - DUE)).toBeLessThan(0.006);
  });

  test('all tubes at half light paint the same dip', () => {
    const dim = typicalTubes().map((tube) => ({ ...tube, light: 0.5 }));
    const { mean } = meanDip(ARRAY, GAUSSIAN, dim, PAIR);
    expect(Math.abs(mean - meanDip(ARRAY, GAUSSIAN, typicalTubes(), PAIR).mean)).toBeLessThan(1e-9);
  });

  test.each<[string, Partial<ModelTube>]>([
    ['a tube that looks at the other lamp', { shape: Float64Array.of(1, 0.03, 0, 0, 0, 0, 0) }],
    ['a blocked tube', { light: 0 }],
  ])('%s costs dip, and replacing it brings back just that', (_, odd) => {
    const tubes = typicalTubes();
    tubes[MIDDLE] = { ...TYPICAL, ...odd };
    const whole = meanDip(ARRAY, GAUSSIAN, typicalTubes(), PAIR).mean;
    const broken = meanDip(ARRAY, GAUSSIAN, tubes, PAIR);
    expect(broken.mean).toBeLessThan(whole - 1e-4);
    expect(Math.abs(broken.with(new Map([[MIDDLE, TYPICAL]])) - whole)).toBeLessThan(1e-9);
  });

  test('a leak moves light to the neighbour, and goes with the leaky tube', () => {
    const tubes = typicalTubes();
    tubes[MIDDLE] = { ...TYPICAL, light: 0.7, leak: { to: MIDDLE + 3, share: 0.3 } };
    const whole = meanDip(ARRAY, GAUSSIAN, typicalTubes(), PAIR).mean;
    const leaky = meanDip(ARRAY, GAUSSIAN, tubes, PAIR);
    const dimmed = [...typicalTubes()];
    dimmed[MIDDLE] = { ...TYPICAL, light: 0.7 };
    expect(leaky.mean).not.toBeCloseTo(meanDip(ARRAY, GAUSSIAN, dimmed, PAIR).mean, 5);
    expect(Math.abs(leaky.with(new Map([[MIDDLE, TYPICAL]])) - whole)).toBeLessThan(1e-9);
  });

  test('nothing changed, nothing gained', () => {
    const model = meanDip(ARRAY, GAUSSIAN, typicalTubes(), PAIR);
    expect(model.with(new Map())).toBe(model.mean);
  });
});
