import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { reducePhoto } from '@twolamp/places';
import { drawCells, photograph, testArray } from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';
import { rootMeanSquare } from './fixtures/photon-limit.js';
import { type Lit, measureShot } from './measure-shot.js';

const array = testArray(10, 13);
const PITCH_PX = 14;
const noise = { electrons: 6000, read: 0.002 };
const even = drawCells({ array, pitchPx: PITCH_PX, noise: { ...noise, random: seededRandom(1) } });
const { sheet } = learnDrawn(even, array);
const FLOOR = 0.01;
/** Where the lamp's image lies, a row and a column from 1. */
const IMAGE = { row: 4.3, column: 7.6 };

/** Brightness of a cell's spot at a pixel, by the place of the lamp's image seen from the cell, pitches. */
type Shape = (k: number, px: number, py: number, image: { p: number; q: number }) => number;

const filled: Shape = (k, px, py) => even.lightPerFlux(k, px, py);
/**
 * A beam straight through a tube seen aslant: what its own disc, moved away from the image, has in common with the bore;
 * both rims are as blurred as those of a filled bore.
 */
const lens: Shape = (k, px, py, image) => {
  const aside = 0.05 * PITCH_PX;
  return Math.min(filled(k, px, py, image), filled(k, px + aside * image.p, py + aside * image.q, image));
};
const leaning: Shape = (k, px, py, image) => {
  const lean = ((px - even.x[k]) * image.p + (py - even.y[k]) * image.q) / PITCH_PX;
  return filled(k, px, py, image) * Math.max(0, 1 - 0.4 * lean);
};

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
    const spot = spotOf(k, (px, py) => shape(k, px, py, image));
    const sum = spot.reduce((all, one) => all + one.value, 0);
    for (const { at, value } of spot) clean[at] += (light * value) / sum;
    return light;
  });
  return { lights, photo: photograph(clean, width, height, { ...noise, random: seededRandom(7) }) };
}

function spotOf(k: number, brightness: (px: number, py: number) => number): { at: number; value: number }[] {
  const spot: { at: number; value: number }[] = [];
  const [x, y] = [even.x[k], even.y[k]];
  for (let py = Math.ceil(y - PITCH_PX); py <= y + PITCH_PX; py++) {
    for (let px = Math.ceil(x - PITCH_PX); px <= x + PITCH_PX; px++) {
      spot.push({ at: py * even.photo.width + px, value: brightness(px, py) });
    }
  }
  return spot;
}

/** Root mean square of the relative errors of cells with a tenth of the brightest one's light. */
function errorOf({ lights, photo }: ReturnType<typeof photographed>, lit: Lit): number {
  const { light } = measureShot(reducePhoto(photo, 1), sheet.model, lit);
  const most = Math.max(...lights);
  const bright = Array.from(lights.keys()).filter((k) => lights[k] > 0.1 * most);
  return rootMeanSquare(bright.map((k) => light.flux[k] / lights[k] - 1));
}

test.each<[string, Shape, number]>([
  ['lenses away from the lamp’s image', lens, 0.01],
  ['spots that are brighter on one side', leaning, 0.01],
  ['spots as in even light', filled, 0.008],
])('light of %s', (_, shape, most) => {
  expect(errorOf(photographed(shape), 'by lamps')).toBeLessThan(most);
});

test('with the sheet’s profiles alone, lenses would be off more than twice as much', () => {
  const lenses = photographed(lens);
  expect(errorOf(lenses, 'evenly')).toBeGreaterThan(2 * errorOf(lenses, 'by lamps'));
});
