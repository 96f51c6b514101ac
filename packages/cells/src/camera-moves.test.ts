import type { ArraySpec, LinearPhoto } from '@twolamp/session';
import { expect, test } from 'vitest';
import { cameraMoves } from './camera-moves.js';

const WIDTH = 520;
const HEIGHT = 420;
const PITCH = 26;
const ARRAY: ArraySpec = {
  name: 'Panel',
  arrangement: 'square',
  rows: 12,
  columns: 15,
  tubeLengthMm: 150,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 4,
};

/** Round spots on a square lattice, each as bright as its place says; drawn here, with no part of the measurement. */
function draw(dx: number, dy: number, brightness: (row: number, column: number) => number): LinearPhoto {
  const light = new Float32Array(WIDTH * HEIGHT).fill(0.005);
  for (let row = 0; row < ARRAY.rows; row++) {
    for (let column = 0; column < ARRAY.columns; column++) {
      const x0 = 75 + column * PITCH + dx;
      const y0 = 60 + row * PITCH + dy;
      for (let y = Math.floor(y0 - 15); y < y0 + 15; y++) {
        for (let x = Math.floor(x0 - 15); x < x0 + 15; x++) {
          const edge = Math.hypot(x - x0, y - y0) - 10;
          light[y * WIDTH + x] += (0.5 * brightness(row, column)) / (1 + Math.exp(edge));
        }
      }
    }
  }
  const clipped = new Uint8Array(WIDTH * HEIGHT);
  return { width: WIDTH, height: HEIGHT, light, clipped, exposureS: null, iso: null, aperture: null };
}

const lamp = (row: number, column: number) => Math.exp(-((row - 4) ** 2 + (column - 9) ** 2) / 8);

// Shifts put in; a tenth of a pitch is what the search promises.
test.each([
  [0, 0],
  [5, 0],
  [-4, 8],
])('a lamp shot moved by %d, %d pixels', (dx, dy) => {
  const moves = cameraMoves(
    draw(0, 0, () => 1),
    ARRAY,
    'even.jpg',
  );
  const { px, pitches } = moves(draw(dx, dy, lamp));
  expect(Math.abs(px - Math.hypot(dx, dy))).toBeLessThan(PITCH / 10);
  expect(Math.abs(pitches * PITCH - px)).toBeLessThan(0.02 * PITCH);
});

test('an even shot without the stated array is refused', () => {
  const even = draw(0, 0, () => 1);
  expect(() => cameraMoves(even, { ...ARRAY, rows: 13 }, 'even.jpg')).toThrow('even.jpg');
});
