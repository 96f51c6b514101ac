import { seededRandom } from '@twolamp/optics';
import type { PairShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { ArrayResponse } from '../response/array-response.js';
import type { LampView } from '../response/lamp-view.js';
import { gaussianSpline } from '../response/radial-spline.js';
import { cellSigma, type ShotFit } from '../response/response-model.js';
import { departureAlong } from './departure.js';
import { fitSeparation, pairCells } from './pair-light.js';

/*
 * Tubes on a square lattice of slopes before two lamps, whose response is a Gaussian at the knots: what the model makes of a
 * pair, held against its own light with one number changed, and against light made with a known departure.
 */
const SIDE = 21;
const PITCH = 0.004;
const HALF_WIDTH = 0.012;
const SCATTER = 0.001;
const AMPLITUDE = 5;
const BACKGROUND = 0.02;
const COUNT = SIDE * SIDE;
const SHOT: PairShot = {
  photo: 'pair.png',
  stated: {},
  kind: 'pair',
  spacingMm: 60,
  distanceMm: 2000,
  turnedDeg: 0,
  acrossMm: 0,
  upMm: 0,
};
const FIT: ShotFit = {
  amplitude: AMPLITUDE,
  background: BACKGROUND,
  shift: [0.0003, -0.0002],
  spline: gaussianSpline(HALF_WIDTH),
};
/** Slopes between the lamps, along a line that is neither across nor up. */
const APART = [0.024, 0.01] as const;

const place = (k: number) =>
  [((k % SIDE) - (SIDE - 1) / 2) * PITCH, (Math.floor(k / SIDE) - (SIDE - 1) / 2) * PITCH] as const;

/** The pair with its images apart by a factor, all lamps aside by a slope. */
function view({ stretch = 1, aside = [0, 0] as readonly [number, number], noise = 0.01 } = {}): LampView {
  const lamps = [-1, 1].map((side) => ({
    slopes: Float64Array.from({ length: 2 * COUNT }, (_, at) => {
      const [axis, k] = [at % 2, at >> 1];
      return place(k)[axis]! + (side * stretch * APART[axis]!) / 2 + aside[axis]!;
    }),
    falloff: new Float64Array(COUNT).fill(1),
  }));
  return {
    shot: SHOT,
    light: new Float64Array(COUNT),
    noise: new Float64Array(COUNT).fill(noise),
    usable: new Uint8Array(COUNT).fill(1),
    lamps,
  } as unknown as LampView;
}

const random = seededRandom(5);
const tubes = {
  pointing: Float64Array.from({ length: 2 * COUNT }, () => SCATTER * random.normal()),
  gain: Float64Array.from({ length: COUNT }, () => 1 + 0.02 * random.normal()),
  weight: new Float64Array(COUNT).fill(1),
  scatter: SCATTER,
};
const RESPONSE = { tubes, spline: FIT.spline, mean: FIT.spline } as unknown as ArrayResponse;

describe('pairCells', () => {
  const cells = pairCells(view(), RESPONSE, FIT, true);
  /** By how much light the model has more for a change, per unit of it; over the same short stretch on both sides. */
  const change = (of: (step: number) => LampView, step: number, k: number) =>
    (pairCells(of(step), RESPONSE, FIT, true)[k]!.light -
      pairCells(of(-step), RESPONSE, FIT, true)[k]!.light) /
    (2 * step);

  test.each([
    { name: 'byAcross', of: (step: number) => view({ aside: [-step, 0] }), step: 1e-4, of1: 40 },
    { name: 'byUp', of: (step: number) => view({ aside: [0, -step] }), step: 1e-4, of1: 40 },
    { name: 'byStretch', of: (step: number) => view({ stretch: 1 + step }), step: 5e-3, of1: 1 },
  ] as const)('$name is what the light changes by', ({ name, of, step, of1 }) => {
    const errors = cells.map((cell, k) => cell[name] - change(of, step, k));
    // Knots a fifth of a half width apart: slopes of the line between them and across them differ by a tenth at most.
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length);
    expect(rms).toBeLessThan(0.05 * of1);
    const most = Math.max(...cells.map((cell) => Math.abs(cell[name])));
    expect(most).toBeGreaterThan(0.3 * of1);
  });

  test.each([
    { pointed: true, share: 0.5 },
    { pointed: false, share: 1 },
  ])('sigma is noise and model, and what pointing leaves open: pointed $pointed', ({ pointed, share }) => {
    for (const { cell, light, byAcross, byUp, sigma } of pairCells(view(), RESPONSE, FIT, pointed)) {
      const pointing = AMPLITUDE * share * SCATTER * Math.hypot(byAcross, byUp);
      expect(sigma).toBeCloseTo(Math.hypot(cellSigma(view(), AMPLITUDE, light, cell), pointing), 10);
    }
  });

  test('cells that are not used are left out', () => {
    const some = view();
    some.usable[5] = 0;
    expect(pairCells(some, RESPONSE, FIT, true).map(({ cell }) => cell)).toEqual(
      Array.from({ length: COUNT }, (_, k) => k).filter((k) => k !== 5),
    );
  });
});

/** The pair's light as the model has it, but for a departure of each cell. */
function seen(
  departure: (along: number) => number,
  { stretch = 1, noise = 0.01, seed = 0, pointed = true } = {},
): LampView {
  const draw = seededRandom(seed);
  const shown = view({ noise });
  const length = Math.hypot(...APART);
  for (const { cell, light } of pairCells(view({ stretch }), RESPONSE, FIT, pointed)) {
    const [x, y] = place(cell);
    const along = -((x - FIT.shift[0]) * APART[0] + (y - FIT.shift[1]) * APART[1]) / length;
    shown.light[cell] = BACKGROUND + AMPLITUDE * light * departure(along) + noise * draw.normal();
  }
  return shown;
}

describe('fitSeparation', () => {
  test('the separation that the light was made with, as surely as it says', () => {
    const pulls = Array.from({ length: 40 }, (_, seed) => {
      const { stretch, sigma } = fitSeparation(
        seen(() => 1, { stretch: 1.01, noise: 0.15, seed }),
        RESPONSE,
        FIT,
      );
      return (stretch - 1.01) / sigma;
    });
    const mean = pulls.reduce((sum, pull) => sum + pull, 0) / pulls.length;
    const scatter = Math.sqrt(pulls.reduce((sum, pull) => sum + (pull - mean) ** 2, 0) / (pulls.length - 1));
    // 40 values: the mean to 0.16, the scatter to a tenth; sigma counts the model's own error besides.
    expect(Math.abs(mean)).toBeLessThan(0.6);
    expect(scatter).toBeGreaterThan(0.5);
    expect(scatter).toBeLessThan(1.3);
  });

  test('two lamps speak for themselves, one lamp for one', () => {
    const { twoLampEvidence: of } = fitSeparation(
      seen(() => 1),
      RESPONSE,
      FIT,
    );
    expect(of).toBeGreaterThan(100);
    const merged = seen(() => 1, { stretch: 1e-3 });
    expect(fitSeparation(merged, RESPONSE, FIT).twoLampEvidence).toBeLessThan(0);
  });
});

describe('departureAlong', () => {
  test('a share that all cells have more is the ratio, however noisy the photo', () => {
    for (const noise of [0.001, 0.01]) {
      const { ratio } = departureAlong(
        seen(() => 1.05, { noise, pointed: false }),
        RESPONSE,
        FIT,
      );
      // Shrunk towards 1 by what few noisy cells tell; 2 % is typical of departures, and many cells tell more.
      expect(ratio(0) - 1).toBeGreaterThan(0.03);
      expect(ratio(0) - 1).toBeLessThan(0.055);
      expect(Math.abs(ratio(100 * HALF_WIDTH) - 1)).toBeLessThan(1e-9);
    }
  });

  test('light on one side of the middle alone shows on that side alone', () => {
    const { ratio } = departureAlong(
      seen((along) => (along > 0 ? 1.05 : 1), { noise: 0.001, pointed: false }),
      RESPONSE,
      FIT,
    );
    expect(ratio(0.015) - 1).toBeGreaterThan(0.03);
    expect(Math.abs(ratio(-0.015) - 1)).toBeLessThan(0.005);
  });

  test('bright cells count for more than dim ones, sure ones for more than noisy ones', () => {
    const sigmas = [0.01, 0.1, 1].map(
      (noise) =>
        departureAlong(
          seen(() => 1, { noise, pointed: false }),
          RESPONSE,
          FIT,
        ).sigma,
    );
    expect(sigmas[0]!).toBeLessThan(sigmas[1]!);
    expect(sigmas[1]!).toBeLessThan(sigmas[2]!);
    // Nothing is known beyond what is typical where noise drowns the light.
    const drowned = departureAlong(
      seen(() => 1, { noise: 1000, pointed: false }),
      RESPONSE,
      FIT,
    ).sigma;
    expect(drowned).toBeCloseTo(0.02, 4);
  });

  test('its scatter over photos is what it states, less what it is shrunk by', () => {
    const made = Array.from({ length: 60 }, (_, seed) =>
      departureAlong(
        seen(() => 1, { noise: 0.3, seed, pointed: false }),
        RESPONSE,
        FIT,
      ),
    );
    const rms = Math.sqrt(made.reduce((sum, { ratio }) => sum + (ratio(0) - 1) ** 2, 0) / made.length);
    expect(rms / made[0]!.sigma).toBeGreaterThan(0.2);
    expect(rms / made[0]!.sigma).toBeLessThan(1.1);
  });
});
