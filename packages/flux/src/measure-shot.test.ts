import { median } from '@twolamp/numeric';
import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { reducePhoto } from '@twolamp/places';
import { drawCells, type Drawn, type Scene, testArray } from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';
import { photonLimit, rootMeanSquare } from './fixtures/photon-limit.js';
import { type Lit, measureShot } from './measure-shot.js';

const CAMERA = { electrons: 6000, read: 0.002 };
const array = testArray(10, 13);
/** As bright as each tube passes light. */
const tube = (row: number, column: number) =>
  row === 4 && column === 6 ? 0 : 0.85 + 0.3 * seededRandom(3, 500 * row + column).uniform();

type Look = Partial<Omit<Scene, 'array' | 'noise'>>;
const draw = (seed: number, look: Look): Drawn =>
  drawCells({
    array,
    pitchPx: 15,
    wings: { share: 0.06, lengthPitches: 0.8 },
    noise: { ...CAMERA, random: seededRandom(seed) },
    ...look,
  });

const even = draw(1, { light: (row, column) => 0.4 * tube(row, column) });
const { sheet } = learnDrawn(even, array);
/** Measured lights are larger than what a spot holds by the wings, as far as it was found. */
const SCALE = 1.06;

/** What a lamp ahead of one place lights: its own tube, and less and less of those around. */
const lampAt =
  (row0: number, column0: number, peak = 0.6) =>
  (row: number, column: number) =>
    peak * tube(row, column) * Math.exp(-((row - row0) ** 2 + (column - column0) ** 2) / 4);

const measure = (drawn: Drawn, lit: Lit = 'evenly') =>
  measureShot(reducePhoto(drawn.photo, 1), sheet.model, lit);

describe('a lamp’s light', () => {
  test.each([
    [0, 0],
    [0.31, -0.22],
    [-1.4, 0.9],
    [3.1, 4.2],
  ])('is found to the photon-noise limit, and its shift by %d, %d px to a fiftieth', (dx, dy) => {
    const drawn = draw(20, { light: lampAt(5, 8), shiftPx: [dx, dy] });
    const { light, shift, stopped } = measure(drawn);
    expect(stopped).toBe('settled');
    expect(Math.abs(shift![0] - dx)).toBeLessThan(0.02);
    expect(Math.abs(shift![1] - dy)).toBeLessThan(0.02);
    const limit = photonLimit(drawn, CAMERA);
    const pulls = Array.from(light.flux, (value, k) => (value / SCALE - drawn.flux[k]) / limit[k]);
    expect(rootMeanSquare(pulls)).toBeLessThan(1.3);
  });

  test('has true uncertainties: the pulls’ standard deviation over many photos', () => {
    const pulls: number[] = [];
    for (let seed = 1; seed <= 8; seed++) {
      const drawn = draw(100 + seed, {
        light: lampAt(1 + (seed % 10), 1 + ((7 * seed) % 13)),
        shiftPx: [0.1 * seed, -0.05 * seed],
      });
      const { light } = measure(drawn);
      light.flux.forEach((value, k) => {
        pulls.push((value - SCALE * drawn.flux[k]) / light.sigma[k]);
      });
    }
    expect(rootMeanSquare(pulls)).toBeGreaterThan(0.9);
    expect(rootMeanSquare(pulls)).toBeLessThan(1.2);
  });

  test('doubles with the exposure', () => {
    const drawn = draw(30, { light: lampAt(4, 4, 0.3), shiftPx: [0.4, 0.3] });
    const once = measure(drawn);
    const photo = { ...drawn.photo, light: drawn.photo.light.map((value) => 2 * value) };
    const twice = measure({ ...drawn, photo });
    expect(Math.abs(twice.shift![0] - once.shift![0])).toBeLessThan(1e-3);
    const misses = once.light.flux.map(
      (value, k) => Math.abs(twice.light.flux[k] - 2 * value) / once.light.sigma[k],
    );
    expect(Math.max(...misses)).toBeLessThan(0.01);
  });
});

test('a dark shot has no light and tells no shift', () => {
  const { light, shift, stopped } = measure(draw(40, { light: () => 0 }));
  expect([shift, stopped]).toEqual([null, 'too-little-light']);
  // The largest of 130 normal values lies at 2.7 standard deviations, beyond 4.2 once in 300 photos.
  expect(Math.max(...light.flux.map((value, k) => Math.abs(value) / light.sigma[k]))).toBeLessThan(4.2);
});

test.each([
  { share: 0.06, lengthPitches: 0.8 },
  { share: 0.2, lengthPitches: 0.4 },
  { share: 0.15, lengthPitches: 1.2 },
])('one tube alone, wings of $share over $lengthPitches: no more light beside it than there is', (wings) => {
  // The sheet is that of other wings: what lies around a lone spot is told from the shot itself.
  const drawn = draw(50, {
    light: (row, column) => (row === 6 && column === 5 ? 0.8 : row === 6 && column === 6 ? 0.004 : 0),
    wings,
  });
  const { light } = measure(drawn, 'alone');
  const lit = 5 * 13 + 4;
  const around = [-14, -13, -12, -1, 1, 12, 13, 14].map((step) => light.flux[lit + step]);
  const total = around.reduce((sum, value) => sum + value, 0) / light.flux[lit];
  // 0.005 of the light, in the next tube; the goal for crosstalk is ± 0.003.
  expect(Math.abs(total - 0.005)).toBeLessThan(0.003);
  expect(Math.abs(light.flux[lit + 1] / light.flux[lit] - 0.005)).toBeLessThan(0.0015);
});

test('light of one tube alone', () => {
  const drawn = draw(51, { light: (row, column) => (row === 6 && column === 5 ? 0.8 : 0) });
  const lit = 5 * 13 + 4;
  expect(Math.abs(measure(drawn, 'alone').light.flux[lit] / SCALE / drawn.flux[lit] - 1)).toBeLessThan(0.01);
});

test('spots beside their places, unlike those of the even shot, are no shift of the camera', () => {
  // Light falls aslant into all tubes and leaves them as crescents, drawn as what two discs differ by.
  const drawn = draw(60, { light: () => 0.5 });
  const { width, height } = drawn.photo;
  const aside = 5;
  const light = drawn.photo.light.map((value, at) => {
    const x = at % width;
    const covered = x + aside < width ? drawn.clean[at + aside] : 0;
    return Math.max(0.01, value - covered + 0.01);
  });
  const { shift, stopped } = measure({ ...drawn, photo: { ...drawn.photo, width, height, light } });
  expect([shift, stopped]).toEqual([null, 'odd-spots']);
});

test('clipped cells are flagged in any shot', () => {
  const { light } = measure(draw(70, { light: lampAt(5, 8, 1.6) }));
  const flagged = Array.from(light.clipped.keys()).filter((k) => light.clipped[k]);
  expect(flagged).toContain(4 * 13 + 7);
  expect(flagged.length).toBeLessThan(10);
  expect(median(light.clipped)).toBe(0);
});
