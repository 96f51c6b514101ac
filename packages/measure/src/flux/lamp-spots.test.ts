import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { drawCells, photograph, testArray } from '../fixtures/draw-cells.js';
import { learnDrawn } from '../fixtures/learn-drawn.js';
import { rootMeanSquare } from '../fixtures/photon-limit.js';
import { reducePhoto } from '../light/plane.js';
import { type Lit, measureShot } from './measure-shot.js';

const array = testArray(10, 13);
const PITCH_PX = 14;
const noise = { electrons: 6000, read: 0.002 };
const even = drawCells({ array, pitchPx: PITCH_PX, noise: { ...noise, random: seededRandom(1) } });
const { sheet } = learnDrawn(even, array);
const FLOOR = 0.01;
/** Where the lamp's image lies, a row and a column from 1. */
const IMAGE = { row: 4.3, column: 7.6 };

/** Brightness within a spot, by the place in pitches from its middle and the place of the lamp's image seen from there. */
type Shape = (p: number, q: number, image: { p: number; q: number }) => number;

/** A beam straight through a tube seen aslant: what its own disc, moved away from the image, has in common with the bore. */
const lens: Shape = (p, q, image) => {
  const aside = 0.05;
  const radius = Math.hypot(p + aside * image.p, q + aside * image.q);
  return 1 / (1 + Math.exp((radius - 0.38) / 0.06));
};
const leaning: Shape = (p, q, image) => 1 - 0.4 * (p * image.p + q * image.q);

/** Lights of a lamp, 0 where no light falls, and the photo of spots of such a shape; each spot's sum is its light. */
function photographed(shape: Shape) {
  const { width, height } = even.photo;
  const clean = new Float32Array(width * height).fill(FLOOR);
  const lights = even.flux.map((flux, k) => {
    const image = {
      p: IMAGE.column - ((k % array.columns) + 1),
      q: IMAGE.row - (Math.floor(k / array.columns) + 1),
    };
    const light = 1.2 * flux * Math.exp(-(image.p ** 2 + image.q ** 2) / 6);
    const spot = spotOf(k, (p, q) => Math.max(0, shape(p, q, image)));
    const sum = spot.reduce((all, one) => all + one.value, 0);
    for (const { at, value } of spot) clean[at]! += (light * value) / sum;
    return light;
  });
  return { lights, photo: photograph(clean, width, height, { ...noise, random: seededRandom(7) }) };
}

function spotOf(k: number, shape: (p: number, q: number) => number): { at: number; value: number }[] {
  const spot: { at: number; value: number }[] = [];
  const [x, y] = [even.x[k]!, even.y[k]!];
  for (let py = Math.ceil(y - PITCH_PX); py <= y + PITCH_PX; py++) {
    for (let px = Math.ceil(x - PITCH_PX); px <= x + PITCH_PX; px++) {
      const value = even.lightPerFlux(k, px, py) * shape((px - x) / PITCH_PX, (py - y) / PITCH_PX);
      spot.push({ at: py * even.photo.width + px, value });
    }
  }
  return spot;
}

/** Root mean square of the relative errors of cells with a tenth of the brightest one's light. */
function errorOf({ lights, photo }: ReturnType<typeof photographed>, lit: Lit): number {
  const { light } = measureShot(reducePhoto(photo, 1), sheet.model, lit);
  const most = Math.max(...lights);
  const bright = Array.from(lights.keys()).filter((k) => lights[k]! > 0.1 * most);
  return rootMeanSquare(bright.map((k) => light.flux[k]! / lights[k]! - 1));
}

test.each<[string, Shape, number]>([
  ['lenses away from the lamp’s image', lens, 0.02],
  ['spots that are brighter on one side', leaning, 0.01],
  ['spots as in even light', () => 1, 0.008],
])('light of %s', (_, shape, most) => {
  expect(errorOf(photographed(shape), 'by lamps')).toBeLessThan(most);
});

test('with the sheet’s footprints alone, lenses would be off by more than a tenth', () => {
  expect(errorOf(photographed(lens), 'evenly')).toBeGreaterThan(0.1);
});
