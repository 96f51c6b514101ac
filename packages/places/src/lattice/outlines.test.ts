import { placeLayout, seededRandom, tubeLayout } from '@twolamp/optics';
import { type ArraySpec, InputError } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { type Drawn, drawCells, hexagonalArray, type Scene, testArray } from '../fixtures/draw-cells.js';
import { findLattice } from './find-lattice.js';

const [ROWS, COLUMNS] = [18, 22];

/** A map whose places follow from where they lie, from −1 to 1 across and down. */
function mapOf(state: (across: number, down: number, row: number, column: number) => string): string[] {
  return Array.from({ length: ROWS }, (_, r) =>
    Array.from({ length: COLUMNS }, (_, c) =>
      state((2 * c + 1) / COLUMNS - 1, (2 * r + 1) / ROWS - 1, r + 1, c + 1),
    ).join(''),
  );
}

const HALF_BUILT = mapOf((_, __, row, column) => (row < 11 || (row === 11 && column < 9) ? '#' : 'o'));
const ROUND = mapOf((across, down) => (Math.hypot(across, down) < 1 ? '#' : '.'));
const RING = mapOf((across, down) =>
  Math.hypot(across, down) < 1 && Math.hypot(across, down) > 0.4 ? '#' : '.',
);
const HEXAGON = mapOf((across, down) => (Math.abs(across) + 0.55 * Math.abs(down) < 1.05 ? '#' : '.'));

/** The stated array drawn: tubes of unequal light, a few dark; holes half as bright again where they are open. */
function draw(array: ArraySpec, look: Partial<Scene> = {}): Drawn {
  const noise = { electrons: 8000, read: 0.002, random: seededRandom(1) };
  const { map: _, ...whole } = array;
  const light = (row: number, column: number): number => {
    const state = array.map?.[row - 1]?.[column - 1] ?? '#';
    const random = seededRandom(9, 500 * row + column);
    if (state === '.' || (state === 'o' && array.unfilled !== 'open')) return 0;
    if (state === 'o') return 0.45;
    return random.uniform() < 0.04 ? 0 : 0.3 * (0.85 + 0.3 * random.uniform());
  };
  return drawCells({
    array: whole,
    pitchPx: 15,
    tiltDeg: 4,
    turnDeg: 2,
    light,
    noise,
    ...look,
  });
}

const stated = (map: string[], changes: Partial<ArraySpec> = {}): ArraySpec =>
  testArray(map.length, map[0]!.length, { map, ...changes });

function refusal(drawn: Drawn, array: ArraySpec): string {
  try {
    findLattice(drawn.photo, array, 'even.png');
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return (error as InputError).message;
  }
  return 'not refused';
}

describe('outlines stated by a map', () => {
  test.each<[string, ArraySpec]>([
    ['half built, covered', stated(HALF_BUILT, { unfilled: 'covered' })],
    ['half built, open holes', stated(HALF_BUILT, { unfilled: 'open' })],
    ['round', stated(ROUND)],
    ['a ring', stated(RING)],
    ['a hexagon', stated(HEXAGON)],
    ['round, hexagonal arrangement', { ...hexagonalArray(ROWS, COLUMNS, 'odd'), map: ROUND }],
  ])('%s: every tube in its place, and nothing else', (_, array) => {
    const drawn = draw(array);
    const { lattice, picture } = findLattice(drawn.photo, array, 'even.png');
    const layout = array.unfilled === 'open' ? placeLayout(array) : tubeLayout(array);
    expect(lattice.x).toHaveLength(layout.count);
    expect(lattice.filled.reduce((sum, one) => sum + one, 0)).toBe(tubeLayout(array).count);
    for (let k = 0; k < layout.count; k++) {
      const truth = (layout.row[k] - 1) * COLUMNS + layout.column[k] - 1;
      const full = (value: number) => picture.factor * value + (picture.factor - 1) / 2;
      const miss = Math.hypot(full(lattice.x[k]!) - drawn.x[truth]!, full(lattice.y[k]!) - drawn.y[truth]!);
      expect(miss / Math.sqrt(drawn.area[truth]!)).toBeLessThan(0.2);
    }
    expect(lattice.litUnstated).toEqual([]);
  });

  test('a tube that the map does not know is named', () => {
    const array = stated(HALF_BUILT, { unfilled: 'covered' });
    const more = HALF_BUILT.map((line, r) => (r === 13 ? `${line.slice(0, 4)}#${line.slice(5)}` : line));
    const { lattice } = findLattice(draw(stated(more)).photo, array, 'even.png');
    expect(lattice.litUnstated).toEqual([{ row: 14, column: 5 }]);
  });

  test.each<[string, string[], RegExp]>([
    [
      'a row too few',
      ROUND.filter((_, r) => r !== 9),
      /where the map has no hole light is seen at row \d+ column \d+/,
    ],
    [
      'a column too few',
      ROUND.map((line) => line.slice(0, 10) + line.slice(11)),
      /where the map has no hole light is seen at row/,
    ],
    [
      'a row too many',
      [...ROUND.slice(0, 9), ROUND[9]!, ...ROUND.slice(9)],
      /is stated with \d+ tubes and shows light from|fit in more than one place/,
    ],
    [
      'a column too many',
      ROUND.map((line) => line.slice(0, 11) + line.slice(10)),
      /is stated with \d+ tubes and shows light from|fit in more than one place/,
    ],
  ])('%s is an error that says so', (_, map, says) => {
    expect(refusal(draw(stated(ROUND)), stated(map))).toMatch(says);
  });
});

describe('photographs as they are', () => {
  const array = testArray(16, 20);
  const farthest = (drawn: Drawn): number => {
    const { lattice, picture } = findLattice(drawn.photo, array, 'even.png');
    const full = (value: number) => picture.factor * value + (picture.factor - 1) / 2;
    return Array.from(lattice.x).reduce((most, x, k) => {
      const miss = Math.hypot(full(x) - drawn.x[k]!, full(lattice.y[k]!) - drawn.y[k]!);
      return Math.max(most, miss / Math.sqrt(drawn.area[k]!));
    }, 0);
  };
  const even = (_: number, __: number) => 0.6;

  test.each([0.1, 0.2, 0.25])('barrel distortion of a wide-angle lens, %f in the corners', (barrel) => {
    const drawn = drawCells({ array, pitchPx: 20, barrel, tiltDeg: 3, light: even });
    expect(farthest(drawn)).toBeLessThan(0.15);
  });

  test.each([
    ['a tenth of a pitch wide at 39 pixels a pitch', 39, 0.045],
    ['two pixels wide at 14 pixels a pitch', 14, 0.062],
  ])('spots %s: places good to a third of a pixel', (_, pitchPx, sigma) => {
    const spot = {
      brightness: (r: number) => Math.exp(-(r * r) / (2 * sigma * sigma)),
      integral: 2 * Math.PI * sigma ** 2,
      reach: 6 * sigma,
    };
    const drawn = drawCells({ array, pitchPx, spot, light: even, turnDeg: 1.5 });
    expect(farthest(drawn) * pitchPx).toBeLessThan(0.35);
  });
});

test('spots that the picture’s edge cuts need not be stated', () => {
  const array = testArray(16, 20);
  const { photo, x, y } = drawCells({ array, pitchPx: 16, light: () => 0.5 });
  // Cropped through the middles of the first column and the last row.
  const [left, bottom] = [Math.round(x[0]! + 1), Math.round(y[15 * 20]!)];
  const width = photo.width - left;
  const crop = <T extends Float32Array | Uint8Array>(from: T): T =>
    from.filter((_, at) => at % photo.width >= left && Math.floor(at / photo.width) < bottom) as T;
  const cropped = { ...photo, width, height: bottom, light: crop(photo.light), clipped: crop(photo.clipped) };
  const stated15x19 = testArray(15, 19);
  const { lattice, picture } = findLattice(cropped, stated15x19, 'even.png');
  expect(picture.factor).toBe(1);
  for (let k = 0; k < 15 * 19; k++) {
    const truth = Math.floor(k / 19) * 20 + (k % 19) + 1;
    expect(Math.hypot(lattice.x[k]! + left - x[truth]!, lattice.y[k]! - y[truth]!)).toBeLessThan(0.15 * 16);
  }
});
