import type { ArraySpec, LampShot } from '@twolamp/session';
import { expect, test } from 'vitest';
import { viewLamps } from './lamp-view.js';

const ARRAY: ArraySpec = {
  name: 'Wide panel',
  arrangement: 'square',
  rows: 3,
  columns: 3,
  tubeLengthMm: 60,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 100,
};

/** A lamp that stands as far off the middle of the array as before it: 45 degrees. */
const ASIDE: LampShot = {
  photo: 'lamp.jpg',
  kind: 'lamp',
  stated: {},
  acrossMm: 500,
  upMm: 0,
  distanceMm: 500,
};

// Illuminance of a plane by a small lamp falls with the cube of the cosine at one distance from the plane: inverse square and
// Lambert's cosine (any handbook of photometry). cos³ 45° = 0.353553; one pitch nearer, cos³ of atan 0.8 = 0.476140.
test.each([
  { column: 2, light: 0.353553 },
  { column: 3, light: 0.47614 },
])('light falls with the cube of the cosine: column $column', ({ column, light }) => {
  const count = ARRAY.rows * ARRAY.columns;
  const flat = { flux: new Float64Array(count).fill(1), sigma: new Float64Array(count).fill(0.01) };
  const view = viewLamps(
    ARRAY,
    { shot: ASIDE, light: { ...flat, clipped: new Uint8Array(count) } },
    new Float64Array(count).fill(1),
    0,
  );
  expect(view.lamps[0]!.falloff[3 + column - 1]!).toBeCloseTo(light, 6);
});
