import { describe, expect, test } from 'vitest';
import { fitTube } from './fit-tube.js';
import type { TubeData } from './tube-data.js';
import { acceptanceProfile, evaluateShape, lightOfShape, SHAPE_SIZE } from './tube-shape.js';

/** Gaussian profile of standard deviation 1. */
const knots = Float64Array.from({ length: 121 }, (_, i) => i / 20);
const GAUSSIAN = acceptanceProfile({
  knots,
  values: knots.map((r) => Math.exp(-0.5 * r * r)),
  derivatives: knots.map((r) => -r * Math.exp(-0.5 * r * r)),
});
const anywhere = Number.POSITIVE_INFINITY;
const ROUND = Float64Array.of(anywhere, anywhere, anywhere, 0.5);
const FREE = Float64Array.of(anywhere, anywhere, anywhere, 0.5, 3, 3, 3);

/** Answers to 7 × 7 lamps one standard deviation apart. */
function answers(shape: Float64Array, sigma: number): TubeData {
  const across = Float64Array.from({ length: 49 }, (_, k) => (k % 7) - 3);
  const up = Float64Array.from({ length: 49 }, (_, k) => Math.floor(k / 7) - 3);
  const gradient = new Float64Array(SHAPE_SIZE);
  const response = across.map((x, k) => evaluateShape(GAUSSIAN.profile, shape, x, up[k], gradient));
  return {
    across,
    up,
    response,
    sigma: new Float64Array(49).fill(sigma),
    clipped: new Uint8Array(49),
    evenLight: null,
  };
}

const START = Float64Array.of(1, 0, 0, 0, 0, 0, 0);

describe('fitTube', () => {
  test.each([
    { name: 'round', shape: [5, 0.7, -0.4, 0, 0, 0, 0], from: [1, 0, 0, 0, 0, 0, 0], prior: ROUND },
    // Begun with its long side on the right side: the other side is a minimum too.
    {
      name: 'lopsided',
      shape: [5, 0.7, -0.4, 0, 0, 0.9, 0.4],
      from: [5, 0.7, -0.4, 0, 0, 0.5, 0],
      prior: FREE,
    },
  ])('a $name tube without noise comes back', ({ shape, from, prior }) => {
    const start = Float64Array.from(from);
    const fit = fitTube(GAUSSIAN, answers(Float64Array.from(shape), 1e-4), start, prior);
    // A blunted Gaussian is a lower one, so that its height alone says nothing; the light does.
    expect(fit.chi2).toBeLessThan(1);
    for (const i of [1, 2, 5, 6]) expect(Math.abs(fit.shape[i] - shape[i])).toBeLessThan(0.01);
    expect([...start]).toEqual(from);
  });

  test('covariance of height and centre as for a Gaussian sampled this densely', () => {
    // Sums become integrals: ∫ exp(−r²) = π and ∫ x² exp(−r²) = π/2, so var(height) with width known is σ²/π, and
    // var(centre) = σ²/(height² π/2).
    const fit = fitTube(
      GAUSSIAN,
      answers(Float64Array.of(4, 0, 0, 0, 0, 0, 0), 0.1),
      START,
      Float64Array.of(anywhere, anywhere, anywhere, 1e-6),
    );
    expect(Math.abs(fit.covariance[0] / (0.01 / Math.PI) - 1)).toBeLessThan(0.02);
    expect(Math.abs(fit.covariance[5] / (0.01 / (16 * (Math.PI / 2))) - 1)).toBeLessThan(0.02);
    expect(Math.abs(fit.determined - 3)).toBeLessThan(1e-6);
  });

  test('a clipped answer is a lower bound', () => {
    const data = answers(Float64Array.of(5, 0.2, 0.3, 0, 0, 0, 0), 0.01);
    const clipped = data.response.map((value) => (value > 3 ? 1 : 0));
    expect(clipped.filter((one) => one === 1).length).toBeGreaterThan(1);
    const cut = {
      ...data,
      response: data.response.map((value) => Math.min(3, value)),
      clipped: Uint8Array.from(clipped),
    };
    const fit = fitTube(GAUSSIAN, cut, START, ROUND);
    expect(Math.abs(fit.shape[0] - 5)).toBeLessThan(0.05);
    expect(Math.abs(fit.shape[1] - 0.2)).toBeLessThan(0.01);
  });

  test('even light settles what two lamps leave open', () => {
    const truth = Float64Array.of(5, 0.4, 0, 0, 0, 0, 0);
    const all = answers(truth, 0.01);
    const two = [...all.across.keys()].filter((k) => all.up[k] === 0 && [0, 1].includes(all.across[k]));
    const pick = (values: Float64Array) => Float64Array.from(two, (k) => values[k]);
    const data = {
      across: pick(all.across),
      up: pick(all.up),
      response: pick(all.response),
      sigma: pick(all.sigma),
      clipped: new Uint8Array(2),
      evenLight: { light: lightOfShape(GAUSSIAN, truth), share: 0.01 },
    };
    const fit = fitTube(GAUSSIAN, data, START, Float64Array.of(anywhere, anywhere, anywhere, 0.01));
    expect(Math.abs(fit.shape[0] - 5)).toBeLessThan(0.3);
    expect(Math.abs(fit.shape[1] - 0.4)).toBeLessThan(0.02);
  });

  test('an answer that is not a number leaves the start as it is', () => {
    const data = answers(START, 0.1);
    data.response[3] = Number.NaN;
    const fit = fitTube(GAUSSIAN, data, START, ROUND);
    expect(fit.shape).toEqual(START);
    expect(fit.cost).toBeNaN();
  });
});
