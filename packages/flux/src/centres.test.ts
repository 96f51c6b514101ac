import { seededRandom } from '@twolamp/optics';
import { cv } from 'opencv-wasm';
import { expect, test } from 'vitest';
import {
  drawCells,
  type Drawn,
  gaussianSpot,
  type Scene,
  softDisc,
  testArray,
} from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';
import { rootMeanSquare } from './fixtures/photon-limit.js';

/** Centre of gravity of a window around a cell by OpenCV's moments, its darkest pixel taken off. */
function momentsCentre({ photo }: Drawn, x: number, y: number, half: number): [number, number] {
  const [left, top, side] = [Math.round(x) - half, Math.round(y) - half, 2 * half + 1];
  const window = new Float32Array(side * side);
  for (let row = 0; row < side; row++) {
    const from = (top + row) * photo.width + left;
    window.set(photo.light.subarray(from, from + side), row * side);
  }
  const least = window.reduce((low, value) => Math.min(low, value), Number.POSITIVE_INFINITY);
  const mat = new cv.Mat(side, side, cv.CV_32F);
  mat.data32F.set(window.map((value) => value - least));
  const { m00, m10, m01 } = cv.moments(mat, false);
  mat.delete();
  return [left + m10 / m00, top + m01 / m00];
}

// On the same photo; the library is told to within half a pixel where each cell lies, and given the window that holds
// one cell: for spots well apart its best case, for crowded ones not.
const array = testArray(9, 12);
test.each<[string, Partial<Scene>, number]>([
  ['well apart', { pitchPx: 16, spot: gaussianSpot(0.13) }, 1],
  ['crowded', { pitchPx: 16, spot: softDisc(0.42, 0.06) }, 0.5],
  [
    'crowded, with wings, in light that falls off',
    { pitchPx: 16, wings: { share: 0.1, lengthPitches: 0.8 }, falloff: 0.4 },
    0.5,
  ],
  ['crowded, large, in light that falls off', { pitchPx: 44, spot: softDisc(0.42, 0.03), falloff: 0.4 }, 0.5],
])('centres of spots %s: no worse than by the library’s moments', (_, look, most) => {
  const light = (row: number, column: number) =>
    0.45 * (0.85 + 0.3 * seededRandom(3, 500 * row + column).uniform());
  const noise = { electrons: 4000, read: 0.002, random: seededRandom(9) };
  const drawn = drawCells({ array, pitchPx: 16, light, noise, ...look });
  const { sheet, picture } = learnDrawn(drawn, array);
  const { factor } = picture;
  const half = Math.floor(look.pitchPx! / 2);
  const [ours, theirs]: [number[], number[]] = [[], []];
  for (let k = 0; k < drawn.x.length; k++) {
    const [x, y] = [drawn.x[k], drawn.y[k]];
    const own = [sheet.middles.x[k], sheet.middles.y[k]].map((value) => factor * value + (factor - 1) / 2);
    ours.push(Math.hypot(own[0] - x, own[1] - y));
    const [otherX, otherY] = momentsCentre(drawn, x, y, half);
    theirs.push(Math.hypot(otherX - x, otherY - y));
  }
  expect(rootMeanSquare(ours)).toBeLessThan(0.05);
  expect(rootMeanSquare(ours)).toBeLessThan(most * rootMeanSquare(theirs));
});
