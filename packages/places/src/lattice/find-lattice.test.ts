import { seededRandom } from '@twolamp/optics';
import { type ArraySpec, InputError, type LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  type Drawn,
  drawCells,
  gaussianSpot,
  hexagonalArray,
  photograph,
  type Scene,
  softDisc,
  testArray,
} from '../fixtures/draw-cells.js';
import { findLattice } from './find-lattice.js';

type Look = Partial<Omit<Scene, 'array'>>;
type Cells = (row: number, column: number) => boolean;

/** Tubes that pass 0.85 to 1.15 of the typical light, and none where `dark` says so. */
function unequal(seed: number, dark: Cells = () => false) {
  return (row: number, column: number): number =>
    dark(row, column) ? 0 : 0.5 * (0.85 + 0.3 * seededRandom(seed, 500 * row + column).uniform());
}

/** Cells drawn by lot. */
const scattered =
  (seed: number, share: number): Cells =>
  (row, column) =>
    seededRandom(seed, 500 * row + column).uniform() < share;

const block =
  (top: number, left: number, rows: number, columns: number): Cells =>
  (row, column) =>
    row >= top && row < top + rows && column >= left && column < left + columns;

function draw(array: ArraySpec, look: Look): Drawn {
  const noise = { electrons: 8000, read: 0.002, random: seededRandom(1) };
  return drawCells({ array, pitchPx: 16, light: unequal(1), noise, ...look });
}

const SQUARE = testArray(14, 19);
const ODD = hexagonalArray(15, 17, 'odd');
const EVEN = hexagonalArray(14, 18, 'even');

const DARK: [string, Look][] = [
  ['15 % dark', { light: unequal(2, scattered(2, 0.15)) }],
  ['a dark cluster of 5 × 5', { light: unequal(3, block(5, 8, 5, 5)) }],
  ['a dark corner of 4 × 4', { light: unequal(4, block(1, 1, 4, 4)) }],
  ['a dark row in the middle', { light: unequal(5, (row) => row === 8) }],
  ['two dark columns in the middle', { light: unequal(5, (_, column) => column === 8 || column === 9) }],
];
const BENT: [string, Look][] = [
  ['square on', {}],
  ['tilted by 6°', { tiltDeg: 6 }],
  ['turned by 6°', { turnDeg: 6 }],
  ['turned by −6°', { turnDeg: -6 }],
  ['bulged by 4 %', { bulge: 0.04 }],
  [
    'tilted, turned and bulged, with a dark cluster and 10 % dark',
    {
      tiltDeg: 6,
      turnDeg: -4,
      bulge: 0.03,
      light: unequal(6, (row, column) => block(4, 11, 4, 5)(row, column) || scattered(7, 0.1)(row, column)),
    },
  ],
];
const SIZED: [string, Look][] = [
  ['8 px a pitch', { pitchPx: 8, spot: softDisc(0.38, 0.09) }],
  ['14 px a pitch', { pitchPx: 14 }],
  ['40 px a pitch', { pitchPx: 40, spot: softDisc(0.4, 0.03) }],
  ['small soft spots', { spot: gaussianSpot(0.16) }],
  ['light three times as strong on one side', { light: (_, column) => 0.2 + (0.4 * (column - 1)) / 18 }],
];

/** Farthest that a cell lies from where it was drawn, in pitches. */
function farthest(array: ArraySpec, drawn: Drawn): { seen: number; unseen: number } {
  const { lattice, picture } = findLattice(drawn.photo, array, 'even.png');
  const full = (value: number) => picture.factor * value + (picture.factor - 1) / 2;
  const misses = Array.from(lattice.x, (x, k) => {
    const [dx, dy] = [full(x) - drawn.x[k]!, full(lattice.y[k]!) - drawn.y[k]!];
    return Math.hypot(dx, dy) / Math.sqrt(drawn.area[k]!);
  });
  expect(misses).toHaveLength(array.rows * array.columns);
  const dark = (_: number, k: number) => drawn.flux[k] === 0;
  // A cell without light can't be seen, and every other one must be.
  expect([...lattice.found]).toEqual(Array.from(drawn.flux, (flux) => (flux > 0 ? 1 : 0)));
  return {
    seen: Math.max(...misses.filter((miss, k) => !dark(miss, k))),
    unseen: Math.max(0, ...misses.filter(dark)),
  };
}

describe.each<[string, ArraySpec, [string, Look][]]>([
  ['square', SQUARE, [...BENT, ...DARK, ...SIZED]],
  ['hexagonal, odd rows shifted', ODD, [...BENT, ...DARK]],
  ['hexagonal, even rows shifted', EVEN, [BENT[5]!, DARK[3]!]],
])('%s', (_, array, looks) => {
  // Refined later; here a cell must only not be mistaken, and a dark one be near enough to be measured.
  test.each(looks)('%s: every cell in its place', (_, look) => {
    const { seen, unseen } = farthest(array, draw(array, look));
    expect(seen).toBeLessThan(0.15);
    expect(unseen).toBeLessThan(0.2);
  });
});

test('80 px a pitch', () => {
  const array = testArray(7, 9);
  const { seen } = farthest(array, draw(array, { pitchPx: 80, spot: softDisc(0.4, 0.02) }));
  expect(seen).toBeLessThan(0.15);
});

test('a reflection just beyond the rim is no cell', () => {
  // A column more is drawn, dark but for one cell.
  const light = (row: number, column: number) => (column === 20 && row !== 5 ? 0 : unequal(1)(row, column));
  const drawn = draw(testArray(14, 20), { light });
  const { lattice, picture } = findLattice(drawn.photo, SQUARE, 'even.png');
  expect(picture.factor).toBe(1);
  lattice.x.forEach((x, k) => {
    const truth = Math.floor(k / 19) * 20 + (k % 19);
    expect(Math.hypot(x - drawn.x[truth]!, lattice.y[k]! - drawn.y[truth]!)).toBeLessThan(0.15 * 16);
  });
});

test('weak light from a dark rim settles where it lies', () => {
  const light = (row: number, column: number) => (column === 1 ? 0.3 : 1) * unequal(1)(row, column);
  const drawn = draw(SQUARE, { light });
  const { lattice } = findLattice(drawn.photo, SQUARE, 'even.png');
  expect(Math.abs(lattice.x[0]! - drawn.x[0]!)).toBeLessThan(0.2 * 16);
});

test('the photo stays as it was', () => {
  const { photo } = draw(SQUARE, {});
  const before = photo.light.slice();
  findLattice(photo, SQUARE, 'even.png');
  expect(photo.light).toEqual(before);
});

function blank(noise: boolean, light: (x: number, y: number) => number = () => 0.2): LinearPhoto {
  const [width, height] = [400, 300];
  const clean = Float32Array.from({ length: width * height }, (_, n) =>
    light(n % width, Math.floor(n / width)),
  );
  const camera = { electrons: 500, read: 0.01, random: seededRandom(3) };
  return photograph(clean, width, height, noise ? camera : null);
}

/** Spots in no order. */
function confetti(seed: number): LinearPhoto {
  const random = seededRandom(seed);
  const light = new Float32Array(400 * 300);
  for (let n = 0; n < 200; n++) {
    const [x0, y0] = [20 + 360 * random.uniform(), 20 + 260 * random.uniform()];
    for (let y = Math.ceil(y0 - 14); y < y0 + 14; y++) {
      for (let x = Math.ceil(x0 - 14); x < x0 + 14; x++) {
        light[y * 400 + x]! += 0.4 / (1 + Math.exp(Math.hypot(x - x0, y - y0) - 6));
      }
    }
  }
  return blank(true, (x, y) => 0.02 + light[y * 400 + x]!);
}

function refusal(photo: LinearPhoto, array: ArraySpec): string {
  try {
    findLattice(photo, array, 'even.png');
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return (error as InputError).message;
  }
  return 'not refused';
}

describe('refuses', () => {
  const NO_PATTERN =
    'even.png: no regular pattern of cells shows; expected the whole array, evenly lit, in focus';
  test.each<[string, LinearPhoto]>([
    ['darkness', blank(false, () => 0)],
    ['even light', blank(false)],
    ['noise alone', blank(true)],
    ['a slope of light', blank(true, (x, y) => 0.1 + 0.001 * x + 0.0005 * y)],
    [
      'one bright blob',
      blank(true, (x, y) => 0.01 + 0.6 * Math.exp(-((x - 180) ** 2 + (y - 140) ** 2) / 5000)),
    ],
  ])('%s', (_, photo) => {
    expect(refusal(photo, testArray(12, 16))).toBe(NO_PATTERN);
  });

  test.each([1, 2, 3])('spots in no order (%i)', (seed) => {
    expect(refusal(confetti(seed), testArray(12, 16))).toMatch(
      /^even.png: (no regular pattern of cells shows|a lattice of only \d+ cells was found, 12 × 16 stated);/,
    );
  });

  const FITTING = 'expected rows and columns as in the photo, and the whole array inside the picture';
  test.each<[string, ArraySpec, ArraySpec, string]>([
    ['a column too few', SQUARE, testArray(14, 18), `14 × 19 cells found, 14 × 18 stated; ${FITTING}`],
    ['a row too few', SQUARE, testArray(13, 19), `14 × 19 cells found, 13 × 19 stated; ${FITTING}`],
    ['rows for columns', SQUARE, testArray(19, 14), `14 × 19 cells found, 19 × 14 stated; ${FITTING}`],
    [
      'hexagonal, a row too few',
      ODD,
      hexagonalArray(14, 17, 'odd'),
      `15 × 17 cells found, 14 × 17 stated; ${FITTING}`,
    ],
    [
      'the other rows shifted',
      ODD,
      hexagonalArray(15, 17, 'even'),
      'odd rows sit half a pitch to the right, even stated',
    ],
    [
      'hexagonal for square',
      SQUARE,
      hexagonalArray(14, 19, 'odd'),
      'a square lattice was found, hexagonal stated',
    ],
    ['square for hexagonal', EVEN, testArray(14, 18), 'a hexagonal lattice was found, square stated'],
  ])('%s', (_, drawn, stated, says) => {
    expect(refusal(draw(drawn, {}).photo, stated)).toBe(`even.png: ${says}`);
  });

  // Drawn 24 × 30 with the last column dark: as well a dark first column. The two places lie a pitch apart.
  test('a rim that is dark all along: two places, both named', () => {
    const drawn = draw(testArray(24, 30), { light: unequal(1, (_, column) => column === 30) });
    const said = refusal(drawn.photo, testArray(24, 30));
    const [start, places] = said.split(': row 1 column 1 may be the place at ') as [string, string];
    expect(start).toBe('even.png: 24 × 29 cells found, 24 × 30 stated, and they fit in more than one place');
    const numbers = places.match(/\d+/g)!.slice(0, 4).map(Number);
    const [x, y] = [drawn.x[0]!, drawn.y[0]!];
    // Rounded to whole pixels, from spots good to a tenth of a pitch.
    [x - 16, y, x, y].forEach((value, n) => {
      expect(Math.abs(numbers[n]! - value)).toBeLessThan(2.5);
    });
  });

  test('a row too many', () => {
    expect(refusal(draw(SQUARE, {}).photo, testArray(15, 19))).toMatch(
      /^even.png: 14 × 19 cells found, 15 × 19 stated, and they fit in more than one place: /,
    );
  });
});
