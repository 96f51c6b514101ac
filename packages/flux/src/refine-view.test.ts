import { expect, test } from 'vitest';
import type { Lattice } from '@twolamp/places';
import { testArray } from '../../places/src/fixtures/draw-cells.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { refineView } from './refine-view.js';
import { regionOf } from './region.js';
import { solveShot } from './solve-shot.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps } from './stamps.js';

const { rows, columns } = testArray(12, 16);
const [PITCH, WIDTH, HEIGHT] = [14, 270, 215];
const COUNT = rows * columns;
const u = Float64Array.from({ length: COUNT }, (_, k) => k % columns);
const v = Float64Array.from({ length: COUNT }, (_, k) => Math.floor(k / columns));
const lattice = { u, v } as Lattice;
const spot = roundProfile(0.38, 0.07);

/** Cells whose stretch across, stretch down and slope of brightness vary over the array as given. */
function cellsSeen(
  field: (p: number, q: number) => { across: number; down: number; shade: [number, number] },
) {
  const seen = Array.from(u, (_, k) => field((2 * u[k]) / (columns - 1) - 1, (2 * v[k]) / (rows - 1) - 1));
  const cells: CellsOnPicture = {
    x: u.map((value) => 30.3 + PITCH * value),
    y: v.map((value) => 29.6 + PITCH * value),
    toPitch: Float64Array.from(
      seen.flatMap(({ across, down }) => [1 / (PITCH * across), 0, 0, 1 / (PITCH * down)]),
    ),
    area: Float64Array.from(seen, ({ across, down }) => PITCH * PITCH * across * down),
    shade: Float64Array.from(seen.flatMap(({ shade }) => shade)),
    pitchPx: PITCH,
    unit: 1,
  };
  return cells;
}

// A lens that draws the corners in and darkens them: fields of the second degree, without their means, which belong to
// the profile.
test('finds how the camera sees the spots, from a picture without noise', () => {
  const truth = cellsSeen((p, q) => ({
    across: 1 - 0.04 * (p * p - 0.378) - 0.01 * q,
    down: 1 - 0.02 * (p * p - 0.378) + 0.015 * p,
    shade: [-0.0015 * p, -0.001 * q],
  }));
  let cells = cellsSeen(() => ({ across: 1, down: 1, shade: [0, 0] }));
  const flux = Float64Array.from(u, (_, k) => 50 + 5 * (k % 7));
  const picture = { width: WIDTH, height: HEIGHT, data: new Float32Array(WIDTH * HEIGHT) };
  const drawn = makeStamps(truth, () => spot, WIDTH, HEIGHT);
  for (let k = 0; k < COUNT; k++) {
    for (let at = drawn.start[k]; at < drawn.start[k + 1]; at++) {
      const within = at - drawn.start[k];
      const row = drawn.top[k] + Math.floor(within / drawn.width[k]);
      picture.data[row * WIDTH + drawn.left[k] + (within % drawn.width[k])] += flux[k] * drawn.values[at];
    }
  }

  const weights = new Float32Array(WIDTH * HEIGHT).fill(1e8);
  const region = regionOf(cells, WIDTH, HEIGHT);
  expect(region.pairs.second.length).toBeGreaterThan(COUNT);
  for (let round = 0; round < 6; round++) {
    const stamps = makeStamps(cells, () => spot, WIDTH, HEIGHT);
    const solution = solveShot({ ...picture, weights }, region, stamps, [], null);
    cells = refineView(cells, stamps, solution, weights, WIDTH, () => true, lattice);
  }
  const miss = (a: Float64Array, b: Float64Array) => Math.max(...a.map((value, n) => Math.abs(value - b[n])));
  // From stretches of some 4 % and slopes of 2 % a pitch; what is left are their products, 0.04², of higher degree.
  expect(miss(cells.toPitch, truth.toPitch) * PITCH).toBeLessThan(0.004);
  expect(miss(cells.shade, truth.shade) * PITCH).toBeLessThan(0.002);
  const stamps = makeStamps(cells, () => spot, WIDTH, HEIGHT);
  const { flux: found } = solveShot({ ...picture, weights }, region, stamps, [], null);
  expect(Math.max(...found.map((value, k) => Math.abs(value / flux[k] - 1)))).toBeLessThan(0.002);
});
