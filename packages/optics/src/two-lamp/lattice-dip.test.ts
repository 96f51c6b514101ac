import { describe, expect, test } from 'vitest';
import type { ArrayGeometry } from '../array/array.js';
import { nudgedDip } from './lattice-dip.js';

const square: ArrayGeometry = {
  arrangement: 'square',
  rows: 20,
  columns: 20,
  tubeLengthMm: 100,
  tubeBoreMm: 2,
  backPitchMm: 3,
  frontPitchMm: 6,
};
const hexagonal: ArrayGeometry = { ...square, arrangement: 'hexagonal', shiftedRows: 'odd' };
const spot = (radius: number) => (across: number, up: number) => (Math.hypot(across, up) < radius ? 1 : 0);
const cone = (radius: number) => (across: number, up: number) =>
  Math.max(0, 1 - Math.hypot(across, up) / radius);

describe('nudgedDip', () => {
  const NUDGES = 4000;
  // Answers by counting areas: lamps a whole number of cells apart fall on the lattice alike.
  test.each<[string, ArrayGeometry, number, number, number]>([
    ['square: seen where a cell is hit, dark cell between', square, 0.4, 2, Math.PI * 0.4 ** 2],
    ['hexagonal', hexagonal, 0.4, 2, (Math.PI * 0.4 ** 2) / (Math.sqrt(3) / 2)],
    ['farther apart changes nothing', square, 0.4, 7, Math.PI * 0.4 ** 2],
    ['in neighbouring cells there is no valley', square, 0.4, 1, 0],
    ['both in one cell', square, 0.4, 0, 0],
    // Half a cell off: a nudge that shows one lamp hides the other.
    ['one lamp on a cell, the other in a gap', square, 0.24, 2.5, 0],
  ])('%s', (_, array, radius, separation, share) => {
    const { meanDip, shareSeparate } = nudgedDip(array, spot(radius), separation, 0.265, NUDGES);
    // Evenly spread points count an area to about 2/NUDGES^¾.
    expect(Math.abs(shareSeparate - share)).toBeLessThan(0.004);
    expect(Math.abs(meanDip - share)).toBeLessThan(0.004);
  });

  test('three cells apart, the cell between lit by both lamps: the dip is the one along the row', () => {
    // A cone of 2 cells' radius on a lattice so fine that only the lamps' own line matters: two cones 3 cells apart
    // meet at half way with 2 × ¼ = ½ of the peak, 1.
    const coarse = 16;
    const fine = nudgedDip(square, (across, up) => cone(2 * coarse)(across, up), 3 * coarse, 0, 4);
    // The margin above and below is only a few cells here, which all see nearly the same.
    expect(Math.abs(fine.meanDip - 0.5)).toBeLessThan(0.04);
  });

  test('lamps in adjacent blind gaps show nothing', () => {
    expect(nudgedDip(square, () => 0, 3, 0, 8)).toEqual({ meanDip: 0, shareSeparate: 0 });
  });

  test.each([
    ['separationCells', () => nudgedDip(square, spot(0.4), -1, 0, 8)],
    ['nudges', () => nudgedDip(square, spot(0.4), 1, 0, 0)],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
