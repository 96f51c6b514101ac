import { describe, expect, test } from 'vitest';
import type { CellsOnPicture } from './cells-on-picture.js';
import { roundProfile } from './spot-profile.js';
import { makeSlopes, makeStamps } from './stamps.js';

/** Cells on a sheet stretched and turned: pixels = [xu xv; yu yv] · pitches. */
function cellsAt(
  x: number[],
  y: number[],
  [xu, xv, yu, yv]: readonly [number, number, number, number],
  shade: readonly [number, number] = [0, 0],
): CellsOnPicture {
  const determinant = xu * yv - xv * yu;
  const toPitch = x.flatMap(() => [yv, -xv, -yu, xu].map((value) => value / determinant));
  return {
    x: Float64Array.from(x),
    y: Float64Array.from(y),
    toPitch: Float64Array.from(toPitch),
    area: Float64Array.from(x, () => determinant),
    shade: Float64Array.from(x.flatMap(() => shade)),
    pitchPx: Math.sqrt(determinant),
    unit: 1,
  };
}

const WIDTH = 70;
const HEIGHT = 50;
const STRETCH = [16, 2.5, -1.5, 13] as const;
const spot = roundProfile(0.38, 0.06);
const stampsOf = (cells: CellsOnPicture) => makeStamps(cells, () => spot, WIDTH, HEIGHT);

describe('makeStamps', () => {
  const cells = cellsAt([30.3, 41.8], [24.6, 20.1], STRETCH);
  const stamps = stampsOf(cells);

  test('a cell’s light adds up to 1, with its middle in its place', () => {
    for (const k of [0, 1]) {
      let [sum, sumX, sumY] = [0, 0, 0];
      for (let at = stamps.start[k]; at < stamps.start[k + 1]; at++) {
        const within = at - stamps.start[k];
        const light = stamps.values[at];
        sum += light;
        sumX += light * (stamps.left[k] + (within % stamps.width[k]));
        sumY += light * (stamps.top[k] + Math.floor(within / stamps.width[k]));
      }
      // The spot's soft edge is sampled at whole pixels: sums are good to 1e-3.
      expect(Math.abs(sum - 1)).toBeLessThan(1e-3);
      expect(Math.abs(sumX / sum - cells.x[k])).toBeLessThan(5e-3);
      expect(Math.abs(sumY / sum - cells.y[k])).toBeLessThan(5e-3);
    }
  });

  test('a slope of brightness tells on each pixel', () => {
    const shaded = stampsOf(cellsAt([30.3, 41.8], [24.6, 20.1], STRETCH, [0.012, -0.02]));
    const [x, y] = [34, 21];
    const at = shaded.start[0] + (y - shaded.top[0]) * shaded.width[0] + x - shaded.left[0];
    const expected = stamps.values[at] * (1 + 0.012 * (34 - 30.3) - 0.02 * (21 - 24.6));
    expect(Math.abs(shaded.values[at] / expected - 1)).toBeLessThan(1e-6);
  });

  test('cells at the picture’s rim are cut off there', () => {
    const cut = stampsOf(cellsAt([2, 68.5, -100], [25, 49, 25], STRETCH));
    expect([cut.left[0], cut.left[1] + cut.width[1], cut.top[1] + cut.height[1]]).toEqual([0, WIDTH, HEIGHT]);
    expect(cut.width[2]).toBe(0);
    expect(cut.values.every(Number.isFinite)).toBe(true);
  });
});

test('makeSlopes is the change of a stamp as its cell moves, whatever cell was asked for before', () => {
  const step = 0.01;
  const places = [30.3, 24.6, 47.7, 22.2] as const;
  const cellsMoved = (dx: number, dy: number) =>
    cellsAt([places[0] + dx, places[2]], [places[1] + dy, places[3]], STRETCH);
  const stamps = stampsOf(cellsMoved(0, 0));
  const slopesOf = makeSlopes(stamps);
  slopesOf(1);
  const slopes = slopesOf(0);
  /** Light of the first cell on a pixel of the unmoved layout. */
  const lightAt = (dx: number, dy: number, x: number, y: number) => {
    const shifted = stampsOf(cellsMoved(dx, dy));
    const [column, row] = [x - shifted.left[0], y - shifted.top[0]];
    const inside = column >= 0 && row >= 0 && column < shifted.width[0] && row < shifted.height[0];
    return inside ? shifted.values[row * shifted.width[0] + column] : 0;
  };
  const steepest = Math.max(...slopes.byX.map(Math.abs));
  for (let within = 0; within < stamps.start[1]; within += 7) {
    const x = stamps.left[0] + (within % stamps.width[0]);
    const y = stamps.top[0] + Math.floor(within / stamps.width[0]);
    const byX = (lightAt(step, 0, x, y) - lightAt(-step, 0, x, y)) / (2 * step);
    const byY = (lightAt(0, step, x, y) - lightAt(0, -step, x, y)) / (2 * step);
    // Differences of the fourth order: the fifth derivative over 30, of a rim 0.06 pitches or 0.9 pixels soft.
    expect(Math.abs(slopes.byX[within] - byX)).toBeLessThan(0.03 * steepest);
    expect(Math.abs(slopes.byY[within] - byY)).toBeLessThan(0.03 * steepest);
  }
});
