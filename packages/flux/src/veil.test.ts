import { seededRandom } from '@twolamp/optics';
import type { LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  drawCells,
  type Drawn,
  gaussianSpot,
  photograph,
  testArray,
} from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';

const PITCH_PX = 26;
const [ROWS, COLUMNS] = [18, 22];
const noise = { electrons: 20_000, read: 0.001 };

/** Light of a tube, unlike that of its neighbours. */
const light = (row: number, column: number) => 0.4 + 0.15 * Math.sin(7 * row + 3 * column);

/** Narrow spots that fill the picture: its edges cut off all but a part of the outermost rows' and columns' spots. */
function filled(glare: (x: number, y: number) => number): { photo: LinearPhoto; drawn: Drawn } {
  const drawn = drawCells({
    array: testArray(ROWS, COLUMNS),
    pitchPx: PITCH_PX,
    spot: gaussianSpot(0.07),
    light,
    falloff: 0.2,
  });
  const { width } = drawn.photo;
  const [left, top] = [Math.round(drawn.x[0] - 1), Math.round(drawn.y[0] - 1)];
  const [right, bottom] = [drawn.x, drawn.y].map((places) => Math.round(places.at(-1)! + 1)) as [
    number,
    number,
  ];
  const [across, down] = [right - left + 1, bottom - top + 1];
  const clean = new Float32Array(across * down);
  for (let y = 0; y < down; y++) {
    for (let x = 0; x < across; x++) {
      clean[y * across + x] = drawn.clean[(top + y) * width + left + x] + glare(x / PITCH_PX, y / PITCH_PX);
    }
  }
  const photo = photograph(clean, across, down, { ...noise, random: seededRandom(4) });
  return { photo, drawn: { ...drawn, x: drawn.x.map((x) => x - left), y: drawn.y.map((y) => y - top) } };
}

const GLARES: [string, (x: number, y: number) => number][] = [
  ['no glare', () => 0],
  ['a reflection some pitches wide', (x, y) => 0.25 * Math.exp(-((x - 14) ** 2 + (y - 4) ** 2) / 18)],
  ['glare all over, uneven', (x, y) => 0.2 + 0.1 * Math.sin(x / 3) * Math.cos(y / 4)],
];

describe('narrow spots that fill the picture, its edges through the outermost ones', () => {
  // The stated array is what lies inside: a row and a column less on each side.
  test.each(GLARES)('%s: light and places of all tubes inside', (_, glare) => {
    const { photo, drawn } = filled(glare);
    const { sheet, picture } = learnDrawn({ photo }, testArray(ROWS - 2, COLUMNS - 2));
    const inner = Array.from(drawn.x.keys()).filter((k) => {
      const [row, column] = [Math.floor(k / COLUMNS), k % COLUMNS];
      return row > 0 && row < ROWS - 1 && column > 0 && column < COLUMNS - 1;
    });
    expect(sheet.solution.flux).toHaveLength(inner.length);
    const ratios = inner.map((k, n) => (sheet.solution.flux[n] * picture.factor ** 2) / drawn.flux[k]);
    const middle = [...ratios].sort((a, b) => a - b)[ratios.length >> 1]!;
    const misses = ratios.map((ratio) => Math.abs(ratio / middle - 1)).sort((a, b) => a - b);
    // The goals for relative transmission: 1 % for the median tube, 3 % for 95 % of them.
    expect(misses[misses.length >> 1]).toBeLessThan(0.01);
    expect(misses[Math.floor(0.95 * misses.length)]).toBeLessThan(0.03);
    const off = inner.map((k, n) => {
      const [x, y] = [sheet.middles.x[n]!, sheet.middles.y[n]!].map(
        (at) => picture.factor * at + (picture.factor - 1) / 2,
      ) as [number, number];
      return Math.hypot(x - drawn.x[k]!, y - drawn.y[k]!);
    });
    expect(Math.max(...off)).toBeLessThan(0.3);
  });
});
