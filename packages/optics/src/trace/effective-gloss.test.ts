import { describe, expect, test } from 'vitest';
import { seededRandom } from '../random.js';
import { absorbingWidthRad } from '../tube/absorbing.js';
import { absorbingEvenThroughput } from '../tube/view-factor.js';
import { glossFromThroughput, glossFromWidth } from './effective-gloss.js';
import { traceTube } from './trace-tube.js';

const tube = { boreMm: 2.5, lengthMm: 150 };
const plastic = { index: 1.5, extinction: 0 };

describe('effective gloss', () => {
  test.each([0.3, 0.7])('of %d is found again from rays traced one by one', (gloss) => {
    const traced = traceTube(tube, { ...plastic, gloss }, { kind: 'even' }, 200_000, seededRandom(61));
    const fromLight = [-4, 4].map(
      (sigmas) =>
        glossFromThroughput(tube, traced.transmission + sigmas * traced.standardError, plastic).gloss,
    );
    expect(fromLight[0]).toBeLessThan(gloss);
    expect(fromLight[1]).toBeGreaterThan(gloss);

    const { gloss: fromWidth } = glossFromWidth(tube, 0.03, plastic);
    const slope = { kind: 'beam', slopeAcross: Math.tan(0.015), slopeUp: 0 } as const;
    const half = traceTube(tube, { ...plastic, gloss: fromWidth }, slope, 100_000, seededRandom(62));
    expect(Math.abs(half.transmission - 0.5) / half.standardError).toBeLessThan(4);
  });

  test('of a black tube is none', () => {
    expect(glossFromWidth(tube, absorbingWidthRad(tube) * 1.001, plastic).gloss).toBeLessThan(0.01);
    expect(glossFromThroughput(tube, absorbingEvenThroughput(tube) * 1.002, plastic).gloss).toBeLessThan(
      0.01,
    );
  });

  test.each([
    ['duller', glossFromWidth(tube, absorbingWidthRad(tube) * 0.98, plastic), 0],
    ['duller', glossFromThroughput(tube, absorbingEvenThroughput(tube) * 0.98, plastic), 0],
    ['glossier', glossFromWidth(tube, 0.5, plastic), 1],
    ['glossier', glossFromThroughput(tube, 0.5, plastic), 1],
  ] as const)('%s than any wall', (bound, found, gloss) => {
    expect(found).toEqual({ bound, gloss });
  });

  test.each([
    ['widthRad', () => glossFromWidth(tube, 4, plastic)],
    ['evenThroughput', () => glossFromThroughput(tube, 0, plastic)],
    ['boreMm', () => glossFromThroughput({ ...tube, boreMm: 0 }, 0.1, plastic)],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
