import { describe, expect, test } from 'vitest';
import { acceptanceProfile, evaluateShape, lightOfShape, SHAPE_SIZE, widthOfShape } from './tube-shape.js';

/** Gaussian profile of standard deviation 1 on fine knots. */
const knots = Float64Array.from({ length: 161 }, (_, i) => i / 20);
const GAUSSIAN = acceptanceProfile({
  knots,
  values: knots.map((r) => Math.exp(-0.5 * r * r)),
  derivatives: knots.map((r) => -r * Math.exp(-0.5 * r * r)),
});
const LOPSIDED = Float64Array.of(3, 0.2, -0.4, 0.1, 0.6, 0.5, -0.3);

/** Sums over the plane, by plain squares. */
function sums(shape: Float64Array) {
  const gradient = new Float64Array(SHAPE_SIZE);
  let light = 0;
  let across = 0;
  let up = 0;
  const step = 0.05;
  for (let x = -10; x < 10; x += step) {
    for (let y = -10; y < 10; y += step) {
      const value = evaluateShape(GAUSSIAN.profile, shape, x, y, gradient) * step ** 2;
      light += value;
      across += value * x;
      up += value * y;
    }
  }
  return { light, across: across / light, up: up / light };
}

describe('a tube’s acceptance', () => {
  test('figures of a Gaussian: half maximum √(2 ln 2), mean radius √(π/2), area 1', () => {
    expect(GAUSSIAN.halfRadius).toBeCloseTo(Math.sqrt(2 * Math.LN2), 5);
    expect(GAUSSIAN.meanRadius).toBeCloseTo(Math.sqrt(Math.PI / 2), 5);
    expect(GAUSSIAN.area).toBeCloseTo(1, 5);
  });

  test('a round one: width and light in closed form', () => {
    const round = Float64Array.of(2, 0.3, -0.1, Math.log(1.5), 0, 0, 0);
    expect(widthOfShape(GAUSSIAN, round)).toBeCloseTo(1.5 * 2 * Math.sqrt(2 * Math.LN2), 4);
    expect(lightOfShape(GAUSSIAN, round)).toBeCloseTo(2 * 2 * Math.PI * 1.5 ** 2, 3);
  });

  test('a Gaussian stays one when blunted, exp(−blunt²/2) as high', () => {
    const blunted = Float64Array.of(2, 0.3, -0.1, 0, 0.8, 0, 0);
    expect(widthOfShape(GAUSSIAN, blunted)).toBeCloseTo(2 * Math.sqrt(2 * Math.LN2), 4);
    expect(lightOfShape(GAUSSIAN, blunted)).toBeCloseTo(2 * 2 * Math.PI * Math.exp(-0.32), 3);
  });

  test('a lopsided one: centre of gravity and light as summed over the plane', () => {
    const direct = sums(LOPSIDED);
    expect(Math.abs(LOPSIDED[1] - direct.across)).toBeLessThan(1e-3);
    expect(Math.abs(LOPSIDED[2] - direct.up)).toBeLessThan(1e-3);
    expect(Math.abs(lightOfShape(GAUSSIAN, LOPSIDED) / direct.light - 1)).toBeLessThan(1e-3);
  });

  test('a lopsided one: width as counted in the plane', () => {
    const gradient = new Float64Array(SHAPE_SIZE);
    const values: number[] = [];
    for (let x = -5; x < 5; x += 0.02) {
      for (let y = -5; y < 5; y += 0.02) {
        values.push(evaluateShape(GAUSSIAN.profile, LOPSIDED, x, y, gradient));
      }
    }
    const half = values.reduce((most, value) => Math.max(most, value)) / 2;
    const area = values.filter((value) => value > half).length * 0.02 ** 2;
    expect(Math.abs(widthOfShape(GAUSSIAN, LOPSIDED) / (2 * Math.sqrt(area / Math.PI)) - 1)).toBeLessThan(
      0.005,
    );
  });

  test('gradient as by small steps', () => {
    const gradient = new Float64Array(SHAPE_SIZE);
    const scratch = new Float64Array(SHAPE_SIZE);
    evaluateShape(GAUSSIAN.profile, LOPSIDED, 1.1, 0.7, gradient);
    gradient.forEach((value, i) => {
      const [less, more] = [-1e-5, 1e-5].map((step) => {
        const moved = Float64Array.from(LOPSIDED);
        moved[i] += step;
        return evaluateShape(GAUSSIAN.profile, moved, 1.1, 0.7, scratch);
      });
      expect(Math.abs((more - less) / 2e-5 - value)).toBeLessThan(1e-6);
    });
  });
});
