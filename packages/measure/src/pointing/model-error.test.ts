import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { TubeFit } from './fit-tube.js';
import { firstModelError, learnModelError, type ModelError } from './model-error.js';
import type { Sweep } from './sweep.js';
import { acceptanceProfile, evaluateShape, SHAPE_SIZE, SHARED_SIZE } from './tube-shape.js';

const knots = Float64Array.from({ length: 121 }, (_, i) => i / 20);
const GAUSSIAN = acceptanceProfile({
  knots,
  values: knots.map((r) => Math.exp(-0.5 * r * r)),
  derivatives: knots.map((r) => -r * Math.exp(-0.5 * r * r)),
});
const HEIGHT = 5;
const SHAPE = Float64Array.of(HEIGHT, 0, 0, 0, 0, 0, 0);
const LAMPS = 49;
const NOISE = 1e-3;

/** Alike tubes' answers to 7 × 7 lamps, off by a share and a floor; the brightest cut off at `full`. */
function sweepOf(tubes: number, { share, floor }: ModelError, full: number): Sweep {
  const random = seededRandom(5);
  const size = tubes * LAMPS;
  const across = Float64Array.from({ length: size }, (_, at) => (2 * ((at % LAMPS) % 7)) / 3 - 2);
  const up = Float64Array.from({ length: size }, (_, at) => (2 * Math.floor((at % LAMPS) / 7)) / 3 - 2);
  const gradient = new Float64Array(SHAPE_SIZE);
  const light = across.map((x, at) => {
    const model = evaluateShape(GAUSSIAN.profile, SHAPE, x, up[at], gradient);
    return model * (1 + share * random.normal()) + floor * random.normal() + NOISE * random.normal();
  });
  return {
    tubes,
    lamps: LAMPS,
    across,
    up,
    response: light.map((value) => Math.min(value, full)),
    sigma: new Float64Array(size).fill(NOISE),
    clipped: Uint8Array.from(light, (value) => (value > full ? 1 : 0)),
    distanceMm: 1500,
    lengthShare: 0.1,
    rounded: 0.1,
    nominalAcross: new Float64Array(tubes),
    nominalUp: new Float64Array(tubes),
  };
}

/** Shapes known from elsewhere: the answers have drawn them nowhere. */
const KNOWN: TubeFit = {
  shape: SHAPE,
  chi2: 0,
  cost: 0,
  covariance: new Float64Array(SHARED_SIZE ** 2),
  determined: 0,
};

function learned(sweep: Sweep): ModelError {
  const tubes = Array.from({ length: sweep.tubes }, (_, tube) => tube);
  const fits = tubes.map(() => KNOWN);
  let error = firstModelError(HEIGHT);
  // Each time half of the way, by ratio.
  for (let step = 0; step < 15; step++) error = learnModelError(sweep, tubes, GAUSSIAN, fits, HEIGHT, error);
  return error;
}

describe('learnModelError', () => {
  test.each([
    { name: 'mostly a share', share: 0.08, floor: 0.06, full: Number.POSITIVE_INFINITY },
    { name: 'mostly a floor', share: 0.05, floor: 0.1, full: Number.POSITIVE_INFINITY },
    { name: 'clipped answers, which are none', share: 0.08, floor: 0.06, full: 0.7 * HEIGHT },
  ])('$name: what the answers were drawn with', ({ share, floor, full }) => {
    const error = learned(sweepOf(200, { share, floor }, full));
    // Median deviations of some thousand answers are good to some 3 %.
    expect(Math.abs(error.share / share - 1)).toBeLessThan(0.1);
    expect(Math.abs(error.floor / floor - 1)).toBeLessThan(0.1);
  });

  test('too few answers say no more than that tubes are made by hand', () => {
    const { share, floor } = learned(sweepOf(1, { share: 0.2, floor: 0.1 }, 0.3 * HEIGHT));
    expect(share).toBeCloseTo(0.009, 4);
    expect(floor).toBeLessThan(0.1);
  });
});
