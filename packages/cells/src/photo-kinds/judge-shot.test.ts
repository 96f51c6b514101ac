import type { ArraySpec, Shot } from '@twolamp/session';
import { expect, test } from 'vitest';
import type { CellLight } from '../cell-light.js';
import { lightsBlockedTube } from './judge-shot.js';

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

// A person who suspects a blocked tube lights it alone: a photo without light is the right one then.
test.each<[string, Shot, boolean]>([
  ['a blocked tube alone', single(2, 1), true],
  ['a weak tube alone', single(2, 2), false],
  ['a healthy tube alone', single(1, 1), false],
  ['even light', { kind: 'even', photo: 'even.jpg', stated: {} }, false],
])('%s', (_, shot, blocked) => {
  expect(lightsBlockedTube(shot, EVEN, ARRAY)).toBe(blocked);
});
