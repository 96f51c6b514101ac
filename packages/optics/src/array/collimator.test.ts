import { describe, expect, test } from 'vitest';
import { seededRandom } from '../random.js';
import { traceTube } from '../trace/trace-tube.js';
import { collimatorResolutionMm, roundBoreResolutionMm } from './collimator.js';

describe('collimatorResolutionMm', () => {
  test('worked example of a textbook', () => {
    // Cherry, Sorenson & Phelps, Physics in Nuclear Medicine, ch. 14 (from memory): bore 2.5 mm, effective length
    // 24 mm, source at 100 mm: 13 mm (12.92 before rounding).
    expect(collimatorResolutionMm({ boreMm: 2.5, lengthMm: 24 }, 100)).toBeCloseTo(12.9167, 3);
  });

  // R/d for L/d and D/d: table of the same formula in another program.
  test.each([
    [10, 5, 1.5],
    [20, 50, 3.5],
    [40, 100, 3.5],
    [60, 20, 4 / 3],
  ])('L/d = %d, D/d = %d', (ratio, distance, resolution) => {
    expect(collimatorResolutionMm({ boreMm: 2, lengthMm: 2 * ratio }, 2 * distance) / 2).toBeCloseTo(
      resolution,
      12,
    );
  });
});

test('half of a point source’s light passes a black tube half of 0.808 R aside, averaged over the holes', () => {
  // The ray from the source to a place y on the sheet runs at slope y/(L + D), and passes a hole that lies anywhere
  // with the share of a parallel beam at that slope. In the lamp's plane y counts the other way round, equally far.
  const tube = { boreMm: 2.5, lengthMm: 100 };
  const distanceMm = 400;
  const yMm = roundBoreResolutionMm(tube, distanceMm) / 2;
  const slopeUp = yMm / (tube.lengthMm + distanceMm);
  const result = traceTube(
    tube,
    'matte black',
    { kind: 'beam', slopeAcross: 0, slopeUp },
    100_000,
    seededRandom(51),
  );
  expect(Math.abs(result.transmission - 0.5) / result.standardError).toBeLessThan(4);
});

test('names the distance when it is bad', () => {
  expect(() => collimatorResolutionMm({ boreMm: 1, lengthMm: 10 }, 0)).toThrow(/^distanceMm must/);
});
