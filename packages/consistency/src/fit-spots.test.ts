import { circleOverlap, seededRandom } from '@twolamp/optics';
import { neighbourFinder } from '@twolamp/numeric';
import { describe, expect, test } from 'vitest';
import { fitOneSpot, fitTwoSpots } from './fit-spots.js';
import { commonProfile, GAUSSIAN } from './lamp-profile.js';
import type { CellsLit } from './spots.js';

const ROWS = 9;
const COLUMNS = 11;
const across = Float64Array.from({ length: ROWS * COLUMNS }, (_, k) => (k % COLUMNS) - (COLUMNS - 1) / 2);
const up = Float64Array.from({ length: ROWS * COLUMNS }, (_, k) => (ROWS - 1) / 2 - Math.floor(k / COLUMNS));
const around = neighbourFinder(across, up);
const near = Array.from(across, (_, k) => [k, ...around(k, 1.3).map(({ index }) => index)]);
const random = seededRandom(3);

/** A half glossy tube's response: a black one's, and wide wings. */
const response = (pitches: number, reach: number) =>
  0.6 * circleOverlap(pitches / reach) + 0.4 * Math.exp(-((pitches / (1.1 * reach)) ** 2));

/** Light of lamps whose images lie at places on a small array; tubes scatter by 5 %. */
function lit(images: readonly (readonly [number, number])[], reach: number): CellsLit {
  const light = across.map(
    (x, k) =>
      images.reduce((sum, [atX, atY]) => sum + response(Math.hypot(x - atX, up[k]! - atY), reach), 0) *
      (1 + 0.05 * random.normal()),
  );
  return {
    across,
    up,
    near,
    usable: new Uint8Array(across.length).fill(1),
    light,
    noise: light.map(() => 0.002),
  };
}

function profileOf(reach: number) {
  const places = [-5, -3, -1, 1, 3, 5].flatMap((x) => [-4, -2, 0, 2, 4].map((y) => [x, y] as const));
  const lamps = places.map((place) => lit([place], reach));
  return commonProfile(
    lamps.flatMap((one) => {
      const spots = fitOneSpot(one, GAUSSIAN, null);
      return spots ? [{ lit: one, spots }] : [];
    }),
  );
}

test.each([
  { images: [[-2, 0]], read: true },
  {
    images: [
      [-3, -2],
      [3, -2],
      [0, 3],
    ],
    read: false,
  },
] as const)('a lamp’s photo with images at $images', ({ images, read }) => {
  expect(fitOneSpot(lit(images, 1.2), GAUSSIAN, { ln: Math.log(0.6), sigma: 0.12 }) !== null).toBe(read);
});

test('an image whose middle tubes are blocked has the width of the others’', () => {
  const corner = lit([[4, -3]], 3);
  for (let k = 0; k < corner.usable.length; k++) {
    if (across[k]! > 2 && up[k]! < -1) corner.usable[k] = 0;
  }
  const held = { ln: Math.log(1.4), sigma: 0.12 };
  const [free, other] = [fitOneSpot(corner, GAUSSIAN, null), fitOneSpot(corner, GAUSSIAN, held)];
  const miss = (spots: typeof free) =>
    spots ? Math.hypot(spots.across - 4, spots.up + 3) / spots.placeSigma : 0;
  expect(miss(other)).toBeLessThan(3);
  expect(miss(other)).toBeLessThan(miss(free));
});

describe('two images on a small array', () => {
  // Images as wide as half the array, and ever nearer to its rim.
  test.each([
    { reach: 3, apart: 5 },
    { reach: 4, apart: 6.5 },
    { reach: 5, apart: 8.4 },
    { reach: 5, apart: 9 },
  ])('$apart pitches apart, black tubes’ images $reach pitches in radius', ({ reach, apart }) => {
    const half = apart / 2;
    const spots = fitTwoSpots(
      lit(
        [
          [0.3, half - 0.2],
          [0.3, -half - 0.2],
        ],
        reach,
      ),
      profileOf(reach),
      null,
    )!;
    const seen = Math.hypot(spots.apart!.across, spots.apart!.up);
    expect(Math.abs(seen / apart - 1)).toBeLessThan(0.05);
    expect(Math.abs(seen - apart)).toBeLessThan(3 * spots.apart!.sigma);
  });

  test('the nearer to the rim, the less sure', () => {
    const profile = profileOf(4);
    const sigmas = [5, 7, 9, 10].map(
      (apart) =>
        fitTwoSpots(
          lit(
            [
              [0, apart / 2],
              [0, -apart / 2],
            ],
            4,
          ),
          profile,
          null,
        )!.apart!.sigma,
    );
    expect(sigmas).toEqual(sigmas.toSorted((a, b) => a - b));
  });
});
