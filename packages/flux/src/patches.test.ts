import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { slopeAt } from './background-plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { patchesOf, patchSums, projectPatch, sumOver } from './patches.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps } from './stamps.js';
import { lightAt } from './wings.js';

const [WIDTH, HEIGHT] = [40, 30];
const random = seededRandom(5);
const scattered = () => Float32Array.from({ length: WIDTH * HEIGHT }, () => random.uniform());
const picture = { width: WIDTH, height: HEIGHT, data: scattered(), weights: scattered() };
const cells: CellsOnPicture = {
  x: Float64Array.of(9.3, 18.1, 33.8),
  y: Float64Array.of(11.2, 10.7, 24.9),
  toPitch: Float64Array.of(0.1, 0, 0, 0.1, 0.1, 0, 0, 0.1, 0.1, 0, 0, 0.1),
  area: new Float64Array(3).fill(100),
  shade: new Float64Array(6),
  pitchPx: 10,
  unit: 1,
};
const stamps = makeStamps(cells, () => roundProfile(0.4, 0.09), WIDTH, HEIGHT);

/** Two lights on one grid of 6 × 5 nodes, three pixels apart, that ends beyond the picture's upper left corner. */
const lights = [0, 1].map(() => ({
  plane: { width: 6, height: 5, data: Float32Array.from({ length: 30 }, () => random.uniform()) },
  left: -4.5,
  top: -3.2,
  stepPx: 3,
}));
const patches = patchesOf(lights, { width: WIDTH, height: HEIGHT });
/** A light on the whole picture, pixel by pixel. */
const laidOut = lights.map((light) =>
  Float64Array.from({ length: WIDTH * HEIGHT }, (_, at) =>
    lightAt(light, at % WIDTH, Math.floor(at / WIDTH)),
  ),
);
const sum = (of: (at: number) => number) => {
  let all = 0;
  for (let at = 0; at < WIDTH * HEIGHT; at++) all += picture.weights[at] * of(at);
  return all;
};

test('a patch holds the light on its rectangle, and there is none beside it', () => {
  patches.forEach(({ left, top, width, height, data }, n) => {
    const misses = laidOut[n].map((light, at) => {
      const [x, y] = [(at % WIDTH) - left, Math.floor(at / WIDTH) - top];
      const inside = x >= 0 && y >= 0 && x < width && y < height;
      return Math.abs(light - (inside ? data[y * width + x] : 0));
    });
    expect(Math.max(...misses)).toBeLessThan(1e-6);
    expect(laidOut[n].some((light) => light > 0)).toBe(true);
  });
});

test('its sums are those of the whole picture', () => {
  const [first, second] = laidOut;
  const { light, plane } = patchSums(patches[0], picture);
  expect(light).toBeCloseTo(
    sum((at) => first[at] * picture.data[at]),
    5,
  );
  [
    () => 1,
    (at: number) => slopeAt(at % WIDTH, WIDTH),
    (at: number) => slopeAt(Math.floor(at / WIDTH), HEIGHT),
  ].forEach((column, n) => {
    expect(plane[n]).toBeCloseTo(
      sum((at) => first[at] * column(at)),
      5,
    );
  });
  expect(sumOver(patches[0], patches[1], picture)).toBeCloseTo(
    sum((at) => first[at] * second[at]),
    5,
  );
});

test('its projection on each cell is that of the whole picture', () => {
  projectPatch(stamps, patches[1], picture).forEach((value, k) => {
    let expected = 0;
    for (let n = stamps.start[k]; n < stamps.start[k + 1]; n++) {
      const within = n - stamps.start[k];
      const x = stamps.left[k] + (within % stamps.width[k]);
      const y = stamps.top[k] + Math.floor(within / stamps.width[k]);
      expected += picture.weights[y * WIDTH + x] * stamps.values[n] * laidOut[1][y * WIDTH + x];
    }
    expect(value).toBeCloseTo(expected, 8);
    if (k === 2) expect(value).toBe(0);
  });
});
