import { expect, test } from 'vitest';
import { lampImage } from './lamp-image.js';

const [ROWS, COLUMNS, PITCH] = [7, 10, 12];
const x = Float64Array.from({ length: ROWS * COLUMNS }, (_, k) => 20 + PITCH * (k % COLUMNS));
const y = Float64Array.from({ length: ROWS * COLUMNS }, (_, k) => 30 + PITCH * Math.floor(k / COLUMNS));
const cells = { x, y, pitchPx: PITCH };
const lit = (x0: number, y0: number, change = (light: number, _k: number) => light): Float64Array =>
  x.map((_, k) => change(Math.exp(-((x[k] - x0) ** 2 + (y[k] - y0) ** 2) / (2 * (1.6 * PITCH) ** 2)), k));

test.each([
  ['amid the cells', 70, 61],
  ['on the outermost column', 20, 66],
  ['half a pitch beside the array', 134, 55],
])('%s: a Gaussian hill’s top, whose logarithm is that parabola', (_, x0, y0) => {
  const [atX, atY] = lampImage(cells, lit(x0, y0))!;
  expect(Math.abs(atX - x0)).toBeLessThan(1e-6);
  expect(Math.abs(atY - y0)).toBeLessThan(1e-6);
});

test('a dark tube and an open one beside it lead astray by less than a tenth of a pitch', () => {
  const odd = (light: number, k: number) => (k === 24 ? 0.01 * light : k === 35 ? 3 * light : light);
  const [atX, atY] = lampImage(cells, lit(70, 61, odd))!;
  expect(Math.hypot(atX - 70, atY - 61)).toBeLessThan(0.1 * PITCH);
});

test('it is never sought far outside', () => {
  const [atX] = lampImage(cells, lit(150, 61))!;
  expect(atX).toBeLessThanOrEqual(x[COLUMNS - 1] + 0.6 * PITCH);
});

test('even light and darkness have no such place', () => {
  expect(lampImage(cells, new Float64Array(x.length))).toBeNull();
  expect(
    lampImage(
      cells,
      x.map((value) => 1 + ((value - 70) / 200) ** 2),
    ),
  ).toBeNull();
});
