import type { ArraySpec, Shot } from '@twolamp/session';
import { expect, test } from 'vitest';
import type { CellLight } from '@twolamp/flux';
import { lightsNoOpenTube } from './judge-shot.js';

const ARRAY: ArraySpec = {
  name: 'six tubes',
  arrangement: 'square',
  rows: 2,
  columns: 3,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 3.3,
};
const flux = Float64Array.of(1, 0.9, 1.1, 0.01, 0.4, Number.NaN);
const EVEN: CellLight = { flux, sigma: flux.map(() => 0.001), clipped: new Uint8Array(6) };
const single = (row: number, column: number): Shot => ({
  kind: 'single',
  photo: 'single.jpg',
  row,
  column,
  stated: {},
});

/** A lamp straight before a tube: the axes of rows and columns fan out by 2 mrad a cell. */
const lamp = (row: number, column: number, distanceMm = 2500): Shot => ({
  kind: 'lamp',
  photo: 'lamp.jpg',
  acrossMm: (column - 2) * (3.3 + 0.002 * distanceMm),
  upMm: (1.5 - row) * (3.3 + 0.002 * distanceMm),
  distanceMm,
  stated: {},
});

// A person who suspects a blocked tube lights it alone: a photo without light is the right one then.
test.each<[string, Shot, boolean]>([
  ['a blocked tube alone', single(2, 1), true],
  ['a weak tube alone', single(2, 2), false],
  ['a healthy tube alone', single(1, 1), false],
  ['a lamp before the whole array', lamp(1.5, 2), false],
  ['a lamp that no tube looks at', lamp(20, 20), true],
  ['even light', { kind: 'even', photo: 'even.jpg', stated: {} }, false],
])('%s', (_, shot, blocked) => {
  expect(lightsNoOpenTube(shot, EVEN, ARRAY)).toBe(blocked);
});
