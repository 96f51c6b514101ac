import {
  absorbingEvenThroughput,
  absorbingWidthRad,
  litWidthRad,
  seededRandom,
  traceAcceptance,
} from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { estimateWall } from './estimate-wall.js';

const ARRAY: ArraySpec = {
  name: 'bench',
  arrangement: 'square',
  rows: 20,
  columns: 24,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const POINT = { distanceMm: Number.POSITIVE_INFINITY, diameterMm: 0, sigmaMm: 0 };
const DEG = 180 / Math.PI;

// A tracer of our own in numpy for straight tubes, apart from the one under test: chords of 40 000 skew rays at each of
// 500 slopes, Fresnel reflectance for n = 1.5 times gloss at each bounce. Width good to some 0.3 %.
const TRACED = [
  { gloss: 0.4, widthDeg: 1.3253, absolute: 3.999e-4 },
  { gloss: 0.6, widthDeg: 1.9435, absolute: 7.951e-4 },
  { gloss: 0.8, widthDeg: 3.2177, absolute: 1.5497e-3 },
  { gloss: 0.9, widthDeg: 4.1152, absolute: 2.1689e-3 },
];

describe('estimateWall', () => {
  test.each(TRACED)('gloss $gloss by width, by transmission and by both', ({ gloss, widthDeg, absolute }) => {
    const acceptance = { widthDeg, uncertaintyDeg: 0.01 * widthDeg, lamp: POINT };
    const transmission = { absolute, uncertainty: 0.01 * absolute };
    const both = estimateWall(ARRAY, { acceptance, transmission }, seededRandom(1))!;
    for (const found of [both.wall.gloss, both.byWidth!, both.byTransmission!]) {
      expect(Math.abs(found - gloss)).toBeLessThan(0.01);
    }
    expect(both.glossUncertainty).toBeLessThan(0.05 * gloss);
    expect(both.wall.index).toBe(1.5);
    expect(both.findings).toEqual([]);
    const one = estimateWall(ARRAY, { acceptance: null, transmission }, seededRandom(1))!;
    expect(one.byWidth).toBeNull();
    expect(Math.abs(one.wall.gloss - gloss)).toBeLessThan(0.01);
  });

  test('tubes as theory has them with a wall that reflects nothing: gloss 0', () => {
    const tube = { boreMm: 2.6, lengthMm: 150 };
    const acceptance = { widthDeg: absorbingWidthRad(tube) * DEG, uncertaintyDeg: 0.01, lamp: POINT };
    const transmission = { absolute: absorbingEvenThroughput(tube), uncertainty: 1e-7 };
    const { wall, findings } = estimateWall(ARRAY, { acceptance, transmission }, seededRandom(1))!;
    expect(wall.gloss).toBeLessThan(0.02);
    expect(findings).toEqual([]);
  });

  test('a lamp near by widens what the tubes see, which is taken back', () => {
    // Absorbing tube, L/D = 0.1: on the back end lies the front end's shadow, 1.1 times as wide. Circles of radii 1 and
    // 1.1 share half of the smaller one when their centres are 0.930588 apart, circles of radius 1 when they are
    // 0.807946 apart (MathWorld, "Circle-Circle Intersection", solved with scipy).
    const widthDeg = 2 * Math.atan((0.930588 * 1.3) / 150) * DEG;
    const near = { widthDeg, uncertaintyDeg: 0.001, lamp: { ...POINT, distanceMm: 1500 } };
    const found = estimateWall(ARRAY, { acceptance: near, transmission: null }, seededRandom(1))!;
    expect(found.wall.gloss).toBeLessThan(0.02);
    expect(Math.abs(found.parallelShare / (0.807946 / 0.930588) - 1)).toBeLessThan(0.01);
  });

  test('a lamp that is no point, likewise; where its size isn’t stated, a finding says so', () => {
    const tube = { boreMm: 2.6, lengthMm: 150 };
    const lamp = { distanceMm: 2500, diameterMm: 20, sigmaMm: 0 };
    const theory = traceAcceptance(tube, { index: 1.5, extinction: 0, gloss: 0.4 }, seededRandom(2), {
      lampDistanceMm: 2500,
    });
    // Seen 8 times closer than a point of the sweep, this lamp shows some 5 % too wide.
    const widthDeg = litWidthRad(theory, 10 / 2500) * DEG;
    expect(widthDeg / (theory.widthRad * DEG)).toBeGreaterThan(1.05);
    const estimate = (sigmaMm: number) =>
      estimateWall(
        ARRAY,
        { acceptance: { widthDeg, uncertaintyDeg: 0.001, lamp: { ...lamp, sigmaMm } }, transmission: null },
        seededRandom(1),
      )!;
    expect(Math.abs(estimate(0).wall.gloss - 0.4)).toBeLessThan(0.01);
    expect(estimate(0).findings).toEqual([]);
    expect(estimate(10).findings).toMatchObject([{ code: 'lamp-diameter-not-stated' }]);
    expect(estimate(10).glossUncertainty).toBeGreaterThan(2 * estimate(0).glossUncertainty);
  });

  test.each([
    { name: 'too wide', widthDeg: 9, absolute: null, code: 'wider-than-smooth-walls' },
    { name: 'too narrow', widthDeg: 0.5, absolute: null, code: 'narrower-than-black-walls' },
    { name: 'at odds', widthDeg: 3.2, absolute: 2e-4, code: 'wall-figures-disagree' },
  ])('says when the figures are $name', ({ widthDeg, absolute, code }) => {
    const found = estimateWall(
      ARRAY,
      {
        acceptance: { widthDeg, uncertaintyDeg: 0.01, lamp: POINT },
        transmission: absolute === null ? null : { absolute, uncertainty: 0.01 * absolute },
      },
      seededRandom(1),
    )!;
    expect(found.findings.map((one) => one.code)).toContain(code);
  });

  test('width and transmission at odds leave the gloss as uncertain as they differ', () => {
    // By the numpy tracer: a gloss of 0.4 by the light, of 0.8 by the width. Either may be the true one.
    const acceptance = { widthDeg: 3.2177, uncertaintyDeg: 0.03, lamp: POINT };
    const transmission = { absolute: 3.999e-4, uncertainty: 4e-6 };
    const { wall, glossUncertainty } = estimateWall(ARRAY, { acceptance, transmission }, seededRandom(1))!;
    for (const gloss of [0.4, 0.8])
      expect(Math.abs(wall.gloss - gloss)).toBeLessThan(1.96 * glossUncertainty);
  });

  test('nothing known, nothing estimated', () => {
    expect(estimateWall(ARRAY, { acceptance: null, transmission: null }, seededRandom(1))).toBeNull();
  });
});
