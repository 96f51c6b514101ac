import { median } from '@twolamp/numeric';
import { seededRandom } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  drawCells,
  type Drawn,
  gaussianSpot,
  hexagonalArray,
  type Scene,
  softDisc,
  testArray,
} from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';
import { photonLimit, rootMeanSquare } from './fixtures/photon-limit.js';
import { findLattice, type FoundLattice } from '../../places/src/lattice/find-lattice.js';
import { lightOf } from './measure-shot.js';
import type { LearnedSheet } from './sheet-model.js';
import { makeStamps } from './stamps.js';
import { wingShare } from './wings.js';

type Look = Partial<Omit<Scene, 'array' | 'noise'>>;

const CAMERA = { electrons: 8000, read: 0.002 };
const SQUARE = testArray(12, 15);
const HEXAGONAL = hexagonalArray(12, 15, 'odd');

/** Tubes a bit unequal; a dark one and a dark cluster, a weak one and one that is twice as bright. */
const DARK = ['4,5', '7,7', '7,8', '7,9', '8,7', '8,8', '8,9'];
const tubes =
  (seed: number) =>
  (row: number, column: number): number => {
    if (DARK.includes(`${row},${column}`)) return 0;
    if (row === 3 && column === 12) return 0.08;
    if (row === 10 && column === 3) return 0.85;
    return 0.4 * (0.85 + 0.3 * seededRandom(seed, 500 * row + column).uniform());
  };

function draw(array: ArraySpec, look: Look, seed = 1): Drawn {
  return drawCells({
    array,
    pitchPx: 24,
    light: tubes(seed),
    noise: { ...CAMERA, random: seededRandom(seed) },
    ...look,
  });
}

interface Learned {
  readonly found: FoundLattice;
  readonly sheet: LearnedSheet;
  /** In full scales × pixels of the photo, wings included. */
  readonly flux: Float64Array;
  readonly sigma: Float64Array;
  readonly clipped: Uint8Array;
  /** In pixels of the photo. */
  readonly x: Float64Array;
  readonly y: Float64Array;
}

function learn(drawn: Pick<Drawn, 'photo'>, array: ArraySpec): Learned {
  const { sheet, ...found } = learnDrawn(drawn, array);
  const { picture } = found;
  const { factor } = picture;
  const { cells, profiles } = sheet.model;
  const stamps = makeStamps(cells, (k) => profiles[k], picture.width, picture.height);
  const light = lightOf(sheet.solution, picture, stamps, sheet.weights, sheet.model);
  return {
    found,
    sheet,
    flux: light.flux.map((value) => value * factor ** 2),
    sigma: light.sigma.map((value) => value * factor ** 2),
    clipped: light.clipped,
    x: sheet.middles.x.map((value) => factor * value + (factor - 1) / 2),
    y: sheet.middles.y.map((value) => factor * value + (factor - 1) / 2),
  };
}

const WINGS = { share: 0.1, lengthPitches: 0.8 };

describe('learnSheet, on a picture with dark, weak and bright tubes', () => {
  test.each<[string, ArraySpec, Look]>([
    ['square', SQUARE, {}],
    ['square, 40 px a pitch', SQUARE, { pitchPx: 40, spot: softDisc(0.38, 0.04) }],
    ['tilted, turned and bulged', SQUARE, { tiltDeg: 6, turnDeg: 4, bulge: 0.03 }],
    ['Gaussian spots', SQUARE, { spot: gaussianSpot(0.22) }],
    ['hexagonal, tilted and bulged, with wings', HEXAGONAL, { tiltDeg: 5, bulge: 0.03, wings: WINGS }],
    ['large enough for profiles in tiles', testArray(18, 22), { pitchPx: 14, wings: WINGS, tiltDeg: 4 }],
  ])('%s: lights at the photon-noise limit, centres to a twentieth of a pixel', (_, array, look) => {
    const drawn = draw(array, look);
    const { flux, sigma, x, y, sheet } = learn(drawn, array);
    const limit = photonLimit(drawn, CAMERA);
    const lit = Array.from(flux.keys()).filter((k) => drawn.flux[k] > 0);

    // All light is found: the profile's, and the wings's, of which the outermost part lies beyond the picture.
    const scale = median(lit.map((k) => flux[k] / drawn.flux[k]));
    expect(Math.abs(scale / (1 + (look.wings?.share ?? 0)) - 1)).toBeLessThan(0.005);

    const misses = Array.from(flux, (value, k) => value / scale - drawn.flux[k]);
    expect(rootMeanSquare(misses.map((miss, k) => miss / limit[k]))).toBeLessThan(1.3);
    // Each of the odd ones too: 4 standard deviations, for a dozen of them, and what is due to bright neighbours.
    const odd = Array.from(flux.keys()).filter(
      (k) => drawn.flux[k] < 0.5 * median(drawn.flux) || drawn.flux[k] > 1.5 * median(drawn.flux),
    );
    expect(odd.length).toBeGreaterThanOrEqual(9);
    for (const k of odd) expect(Math.abs(misses[k] / limit[k])).toBeLessThan(4);
    // Uncertainties are those of the limit, but for neighbours' overlap.
    const ratio = median(sigma.map((value, k) => value / scale / limit[k]));
    expect(ratio).toBeGreaterThan(0.9);
    expect(ratio).toBeLessThan(1.15);

    const healthy = lit.filter((k) => drawn.flux[k] > 0.5 * median(drawn.flux));
    const off = healthy.map((k) => Math.hypot(x[k] - drawn.x[k], y[k] - drawn.y[k]));
    expect(rootMeanSquare(off)).toBeLessThan(0.05);
    expect(['settled', 'round-limit']).toContain(sheet.stopped);
  });
});

test.each([
  ['square', SQUARE, [5 * 15 + 5]],
  ['hexagonal, two at once', HEXAGONAL, [5 * 15 + 5, 8 * 15 + 10]],
])('%s: the wide spot of an empty hole takes and gives its neighbours no light', (_, array, holes) => {
  const isHole = (row: number, column: number) => holes.includes((row - 1) * 15 + column - 1);
  const drawn = draw(array, {
    pitchPx: 16,
    light: (row, column) => (isHole(row, column) ? 0.5 : 0.4),
    otherSpot: (row, column) => (isHole(row, column) ? softDisc(0.46, 0.06) : null),
  });
  const { flux, x, y } = learn(drawn, array);
  const limit = photonLimit(drawn, CAMERA);
  const scale = median(flux.map((value, k) => value / drawn.flux[k]));
  for (const hole of holes) {
    // Its own shape is learned from it alone, and where the rim ends is least sure.
    expect(Math.abs(flux[hole] / scale / drawn.flux[hole] - 1)).toBeLessThan(0.02);
    const around = [hole - 1, hole + 1, hole - 15, hole + 15, hole - 16, hole + 14];
    for (const k of around) expect(Math.abs(flux[k] / scale - drawn.flux[k]) / limit[k]).toBeLessThan(4);
    const off = [hole, ...around].map((k) => Math.hypot(x[k] - drawn.x[k], y[k] - drawn.y[k]));
    expect(rootMeanSquare(off)).toBeLessThan(0.05);
  }
});

test('uncertainties are true: the pulls’ standard deviation over many photos', () => {
  const array = testArray(9, 11);
  const pulls: number[] = [];
  for (let seed = 1; seed <= 6; seed++) {
    const drawn = draw(array, { pitchPx: 14, wings: WINGS }, 10 * seed);
    const { flux, sigma } = learn(drawn, array);
    const lit = Array.from(flux.keys()).filter((k) => drawn.flux[k] > 0);
    const scale = median(lit.map((k) => flux[k] / drawn.flux[k]));
    flux.forEach((value, k) => {
      pulls.push((value - scale * drawn.flux[k]) / sigma[k]);
    });
  }
  const spread = rootMeanSquare(pulls);
  expect(spread).toBeGreaterThan(0.9);
  expect(spread).toBeLessThan(1.2);
});

/** Lights against the typical one: all lights share the profile's own uncertainty. */
const shares = ({ flux }: Learned): Float64Array => {
  const typical = median(flux);
  return flux.map((value) => value / typical);
};

describe('laws', () => {
  const array = testArray(9, 11);
  const drawn = draw(array, { pitchPx: 14 });
  const plain = learn(drawn, array);
  const withLight = (light: Float32Array) => learn({ photo: { ...drawn.photo, light } }, array);
  /** Largest difference of the lights' shares, in standard uncertainties. */
  const apart = (other: Learned, of: (cell: number) => number = (cell) => cell): number => {
    const [here, there] = [shares(plain), shares(other)];
    const typical = median(plain.flux);
    return Math.max(...here.map((value, k) => (Math.abs(value - there[of(k)]) * typical) / plain.sigma[k]));
  };

  test('half the exposure halves all lights and their uncertainties', () => {
    const half = withLight(drawn.photo.light.map((value) => value / 2));
    // To single precision, and to where the rounds end.
    const misses = half.flux.map((value, k) => Math.abs(2 * value - plain.flux[k]) / plain.sigma[k]);
    expect(Math.max(...misses)).toBeLessThan(0.02);
    const ratios = half.sigma.map((value, k) => Math.abs((2 * value) / plain.sigma[k] - 1));
    expect(Math.max(...ratios)).toBeLessThan(0.001);
  });

  // The profile is learned anew, from rounds that end elsewhere: well below what noise does.
  test('more even light under everything changes no light', () => {
    const lifted = withLight(drawn.photo.light.map((value) => value + 0.05));
    expect(apart(lifted)).toBeLessThan(0.3);
  });

  test('the mirrored photo gives mirrored lights and centres', () => {
    const { width } = drawn.photo;
    const mirrored = withLight(
      drawn.photo.light.map((_, at) => drawn.photo.light[at - (at % width) + width - 1 - (at % width)]),
    );
    const other = (k: number) => k - (k % 11) + 10 - (k % 11);
    // The profile and the wings are learned from other pixels: the wings under dark cells differs the most.
    expect(apart(mirrored, other)).toBeLessThan(1);
    for (let k = 0; k < plain.flux.length; k++) {
      if (drawn.flux[k] < 20) continue;
      expect(Math.abs(width - 1 - mirrored.x[other(k)] - plain.x[k])).toBeLessThan(0.02);
      expect(Math.abs(mirrored.y[other(k)] - plain.y[k])).toBeLessThan(0.02);
    }
  });

  test('the picture and the lattice stay as they were', () => {
    const found = findLattice(drawn.photo, array, 'even.png');
    expect(plain.found.picture.data).toEqual(found.picture.data);
    expect([plain.found.lattice.x, plain.found.lattice.y]).toEqual([found.lattice.x, found.lattice.y]);
  });
});

test.each([
  [0.1, 0.8],
  [0.2, 1.5],
])('wings of %d of the light, e^(−r/%d pitches), are found', (share, lengthPitches) => {
  const { sheet } = learn(draw(SQUARE, { pitchPx: 14, wings: { share, lengthPitches } }), SQUARE);
  // Its part within 0.95 pitches may be told as profile: an exponential has that much of its light inside.
  const inside = 1 - (1 + 0.95 / lengthPitches) * Math.exp(-0.95 / lengthPitches);
  expect(wingShare(sheet.model.wings)).toBeGreaterThan((1 - inside) * share * 0.9);
  expect(wingShare(sheet.model.wings)).toBeLessThan(1.1 * share);
});

test('clipped cells are flagged, and no others; they don’t disturb their neighbours', () => {
  const clipping = ['5,6', '9,2'];
  const light = (row: number, column: number) =>
    clipping.includes(`${row},${column}`) ? 1.3 : tubes(2)(row, column);
  const drawn = draw(SQUARE, { light });
  const { clipped, flux } = learn(drawn, SQUARE);
  const flagged = Array.from(clipped.keys()).filter((k) => clipped[k]);
  expect(flagged.map((k) => `${Math.floor(k / 15) + 1},${(k % 15) + 1}`)).toEqual(clipping);
  const limit = photonLimit(drawn, CAMERA);
  for (const k of [4 * 15 + 4, 4 * 15 + 6, 3 * 15 + 5, 5 * 15 + 5])
    expect(Math.abs(flux[k] - drawn.flux[k]) / limit[k]).toBeLessThan(4);
});
