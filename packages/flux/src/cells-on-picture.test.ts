import { expect, test } from 'vitest';
import { reducePlane } from '@twolamp/places';
import { type CellsOnPicture, cellsOnPicture, rescaled, someCells } from './cells-on-picture.js';
import { paint } from './normal-equations.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps } from './stamps.js';

const [WIDTH, HEIGHT, PITCH] = [96, 72, 24];
const CELL: CellsOnPicture = {
  x: Float64Array.of(41.3),
  y: Float64Array.of(33.8),
  toPitch: Float64Array.of(1 / PITCH, 0, 0, 1 / PITCH),
  area: Float64Array.of(PITCH * PITCH),
  shade: Float64Array.of(0.01, -0.02),
  pitchPx: PITCH,
  unit: 1,
};
const spot = roundProfile(0.38, 0.1);

function painted(cells: CellsOnPicture, width: number, height: number): Float32Array {
  const picture = new Float32Array(width * height);
  const stamps = makeStamps(cells, () => spot, width, height);
  paint(stamps, Float64Array.of(1), picture, width);
  return picture;
}

test.each([2, 3])('rescaled: painted small is painted large, then reduced by %d', (by) => {
  const [width, height] = [WIDTH / by, HEIGHT / by];
  const large = { width: WIDTH, height: HEIGHT, data: painted(CELL, WIDTH, HEIGHT) };
  const small = painted(rescaled(CELL, 1 / by), width, height);
  const mean = reducePlane(large, by).data.map((light) => light * by * by);
  const brightest = Math.max(...small);
  // A mean over a small pixel against the value in its middle: the rim's bend, by² / 24 pixels² times some 0.05 a pixel².
  mean.forEach((light, at) => {
    expect(Math.abs(light - small[at])).toBeLessThan(0.03 * brightest);
  });
});

test('rescaled there and back is the same', () => {
  const back = rescaled(rescaled(CELL, 1 / 2), 2);
  expect(back.x[0]).toBeCloseTo(CELL.x[0], 12);
  expect(back.shade[1]).toBeCloseTo(CELL.shade[1], 12);
  expect(back.area[0]).toBeCloseTo(CELL.area[0], 9);
});

test('some cells have each of their figures, in the order asked for', () => {
  const figures = (size: number, from: number) => Float64Array.from({ length: 3 * size }, (_, n) => from + n);
  const cells: CellsOnPicture = {
    x: figures(1, 10),
    y: figures(1, 20),
    toPitch: figures(4, 100),
    area: figures(1, 30),
    shade: figures(2, 40),
    pitchPx: 12,
    unit: 2,
  };
  expect(someCells(cells, [2, 0])).toEqual({
    x: Float64Array.of(12, 10),
    y: Float64Array.of(22, 20),
    toPitch: Float64Array.of(108, 109, 110, 111, 100, 101, 102, 103),
    area: Float64Array.of(32, 30),
    shade: Float64Array.of(44, 45, 40, 41),
    pitchPx: 12,
    unit: 2,
  });
});

// 12 pixels a pitch across and 10 up; spots whose co-ordinates go by two pitches: one of them is 24 × 20 pixels.
test('a coarser unit of the spots: areas and the way from pixels to it go by it, the pitch does not', () => {
  const warp = { slope: () => [12, 0, 0, 10] };
  const one = Float64Array.of(0);
  const lattice = { x: one, y: one, u: one, v: one, warp } as unknown as Parameters<typeof cellsOnPicture>[0];
  const { toPitch, area, pitchPx } = cellsOnPicture(lattice, false, 2);
  expect([...toPitch].map((value) => value + 0)).toEqual([1 / 24, 0, 0, 1 / 20]);
  expect([...area]).toEqual([480]);
  expect(pitchPx).toBeCloseTo(Math.sqrt(120), 12);
});
