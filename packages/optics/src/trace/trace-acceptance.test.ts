import { describe, expect, test } from 'vitest';
import { seededRandom } from '../random.js';
import { absorbingTransmission, absorbingWidthRad } from '../tube/absorbing.js';
import { turnAcceptance } from '../tube/acceptance.js';
import type { TubeShape, Wall } from '../tube/tube.js';
import { absorbingEvenThroughput } from '../tube/view-factor.js';
import { acceptanceByDistance } from './acceptance-by-distance.js';
import { type AcceptanceOptions, traceAcceptance, tracedTransmission } from './trace-acceptance.js';
import { traceTube } from './trace-tube.js';

const tube = { boreMm: 2.5, lengthMm: 150 };
const glossy: Wall = { index: 1.5, extinction: 0, gloss: 0.8 };
const slopeUnit = tube.boreMm / tube.lengthMm;

describe('a straight black tube', () => {
  const acceptance = traceAcceptance(tube, 'matte black', seededRandom(31));

  test('has the closed form’s profile, width and view factor', () => {
    for (const u of [0, 0.05, 0.3, 0.62, 0.9, 1.2]) {
      const slope = u * slopeUnit;
      expect(
        Math.abs(acceptance.at(0.6 * slope, 0.8 * slope) - absorbingTransmission(slope, tube)),
      ).toBeLessThan(5e-4);
    }
    expect(Math.abs(acceptance.widthRad / absorbingWidthRad(tube) - 1)).toBeLessThan(1e-3);
    expect(acceptance.widthBesideRad).toBe(acceptance.widthRad);
    expect(Math.abs(acceptance.evenThroughput / absorbingEvenThroughput(tube) - 1)).toBeLessThan(2e-3);
    expect(acceptance.axial).toBeCloseTo(1, 10);
    expect(acceptance.centre).toEqual({ across: 0, up: 0 });
  });

  test('at a far lamp the same by rays', () => {
    const far = traceAcceptance(tube, 'matte black', seededRandom(32), { lampDistanceMm: 1e7 });
    expect(Math.abs(far.widthRad / absorbingWidthRad(tube) - 1)).toBeLessThan(0.01);
    expect(Math.abs(far.evenThroughput / absorbingEvenThroughput(tube) - 1)).toBeLessThan(0.01);
  });
});

describe('tables against rays traced one by one', () => {
  const cases: [string, TubeShape, Wall, AcceptanceOptions][] = [
    ['straight, glossy', tube, glossy, {}],
    ['straight, glossy, lamp at 500 mm', tube, glossy, { lampDistanceMm: 500 }],
    [
      'straight, scattering a little',
      tube,
      { ...glossy, gloss: 0.3, diffuse: 0.04 },
      { raysPerDirection: 512 },
    ],
    ['bowed, glossy', { ...tube, bowMm: 1.5 }, glossy, {}],
    ['bowed, black', { ...tube, bowMm: -1 }, { ...glossy, gloss: 0 }, {}],
    ['bowed, glossy, lamp at 800 mm', { ...tube, bowMm: 0.6 }, glossy, { lampDistanceMm: 800 }],
  ];
  test.each(cases)('%s', (_, shape, wall, options) => {
    const acceptance = traceAcceptance(shape, wall, seededRandom(33), options);
    const distanceMm = options.lampDistanceMm ?? 1e9;
    for (const [across, up] of [
      [0.001, 0],
      [-0.012, 0.007],
      [-0.04, 0.002],
      [0.025, -0.02],
      [-0.09, 0.03],
    ]) {
      const light = {
        kind: 'lamp',
        acrossMm: across * distanceMm,
        upMm: up * distanceMm,
        distanceMm,
      } as const;
      const traced = traceTube(shape, wall, light, 40_000, seededRandom(34));
      const difference = Math.abs(acceptance.at(across, up) - traced.transmission);
      expect(difference).toBeLessThan(0.008 + 4 * traced.standardError);
    }
    const even = traceTube(shape, wall, { kind: 'even' }, 40_000, seededRandom(35));
    const throughputError = 0.02 * even.transmission + 4 * even.standardError;
    expect(Math.abs(acceptance.evenThroughput - even.transmission)).toBeLessThan(throughputError);
  });

  test('one direction at a time gives what the table gives', () => {
    const shape = { ...tube, bowMm: 1 };
    const at = tracedTransmission(shape, glossy, seededRandom(36));
    const acceptance = traceAcceptance(shape, glossy, seededRandom(36));
    for (const slope of [-0.05, -0.02, 0.01]) {
      expect(Math.abs(at(slope, 0.003) - acceptance.at(slope, 0.003))).toBeLessThan(0.01);
    }
  });
});

describe('a bow', () => {
  const lossless: Wall = { ...glossy, gloss: 1 };
  const right = traceAcceptance({ ...tube, bowMm: 1 }, lossless, seededRandom(37));
  const left = traceAcceptance({ ...tube, bowMm: -1 }, lossless, seededRandom(38));

  test('to the right makes a glossy tube look left, along its entrance tangent', () => {
    const tangent = (-4 * 1) / tube.lengthMm; // of the arc 4h·z(L − z)/L²
    expect(Math.abs(right.centre.across / tangent - 1)).toBeLessThan(0.1);
    expect(right.centre.up).toBe(0);
  });

  test('to the left is its mirror image', () => {
    expect(Math.abs(left.centre.across / right.centre.across + 1)).toBeLessThan(0.01);
    expect(Math.abs(left.at(0.03, 0.01) - right.at(-0.03, 0.01))).toBeLessThan(0.01);
    expect(Math.abs(left.widthRad / right.widthRad - 1)).toBeLessThan(0.02);
  });

  test('widens what a glossy tube sees along the bow, hardly beside it', () => {
    const straight = traceAcceptance(tube, lossless, seededRandom(39));
    expect(right.widthRad).toBeGreaterThan(1.05 * straight.widthRad);
    expect(Math.abs(right.widthBesideRad / straight.widthRad - 1)).toBeLessThan(0.05);
    expect(right.evenThroughput).toBeLessThan(straight.evenThroughput);
  });

  test('of a bore’s width shuts off direct sight', () => {
    const [less, more] = [0.9, 1.05].map((bores) =>
      traceTube(
        { ...tube, bowMm: bores * tube.boreMm },
        'matte black',
        { kind: 'beam', slopeAcross: 0, slopeUp: 0 },
        20_000,
        seededRandom(40),
      ),
    );
    expect(less.transmission).toBeGreaterThan(0);
    expect(more.transmission).toBe(0);
  });

  test('turned with its tube', () => {
    const upwards = turnAcceptance(right, Math.PI / 2);
    expect(Math.abs(upwards.at(0.01, -0.03) - right.at(-0.03, -0.01))).toBeLessThan(1e-12);
    expect(Math.abs(upwards.centre.up - right.centre.across)).toBeLessThan(1e-12);
    expect(Math.abs(upwards.centre.across)).toBeLessThan(1e-12);
  });
});

describe('acceptanceByDistance', () => {
  test('between its tables agrees with a table made for the distance', () => {
    const at = acceptanceByDistance(tube, 'matte black', seededRandom(41), 300);
    for (const distanceMm of [300, 450, 1234, 5000]) {
      const own = traceAcceptance(tube, 'matte black', seededRandom(42), { lampDistanceMm: distanceMm });
      const blended = at(distanceMm);
      expect(Math.abs(blended.widthRad / own.widthRad - 1)).toBeLessThan(0.01);
      expect(Math.abs(blended.axial - own.axial)).toBeLessThan(0.005);
      expect(Math.abs(blended.at(0.006, 0) - own.at(0.006, 0))).toBeLessThan(0.01);
    }
    expect(at(Infinity).axial).toBeCloseTo(1, 10);
    expect(() => at(299)).toThrow(/^distanceMm must be at least 300, got 299/);
  });
});

describe('arguments', () => {
  test.each<[string, AcceptanceOptions]>([
    ['lampDistanceMm', { lampDistanceMm: 0 }],
    ['raysPerDirection', { raysPerDirection: 0 }],
  ])('names %s when it is bad', (name, options) => {
    expect(() => traceAcceptance(tube, glossy, seededRandom(1), options)).toThrow(
      new RegExp(`^${name} must`),
    );
  });
});
