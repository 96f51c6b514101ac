import type { Shot } from '@twolamp/session';
import { expect, test } from 'vitest';
import { missingShots } from './missing-shots.js';

const shot = (kind: 'dark' | 'even' | 'bare'): Shot => ({ photo: 'a.jpg', stated: {}, kind });
const lamp: Shot = { photo: 'a.jpg', stated: {}, kind: 'lamp', acrossMm: 0, upMm: 0, distanceMm: 1000 };
const pair = (distanceMm: number): Shot => ({
  ...lamp,
  kind: 'pair',
  spacingMm: 60,
  turnedDeg: 0,
  distanceMm,
});
const single: Shot = { photo: 'a.jpg', stated: {}, kind: 'single', row: 1, column: 1 };

// The needs of each kind are those of the bench: 9 or more places for pointing, 4 or more distances for pairs.
const WHOLE: readonly Shot[] = [
  shot('dark'),
  shot('even'),
  shot('even'),
  shot('bare'),
  ...Array<Shot>(9).fill(lamp),
  ...[1000, 1000, 2000, 3000, 4000].map(pair),
  single,
];

test('a whole session misses nothing', () => {
  expect(missingShots({ array: {}, shots: WHOLE })).toEqual([]);
});

test('a screen of cells behind a lens takes no lamps', () => {
  const shots = WHOLE.filter(({ kind }) => kind !== 'lamp' && kind !== 'pair');
  expect(missingShots({ array: { kind: 'cell-screen' }, shots })).toEqual([]);
});

test.each([
  ['dark', (one: Shot) => one.kind !== 'dark', 'no dark shot'],
  ['bare', (one: Shot) => one.kind !== 'bare', 'no bare shot'],
  ['single', (one: Shot) => one.kind !== 'single', 'no single shots'],
  ['even', (one: Shot, index: number) => index !== 1 || one.kind !== 'even', 'only one even shot'],
  ['lamp', (one: Shot, index: number) => index !== 4 || one.kind !== 'lamp', '8 lamp shots'],
  ['pair', (one: Shot) => one.kind !== 'pair' || one.distanceMm !== 3000, 'pair shots from only 3 distances'],
])('%s', (kind, keep, says) => {
  const missing = missingShots({ array: {}, shots: WHOLE.filter(keep) });
  expect(missing.map((one) => one.kind)).toEqual([kind]);
  expect(missing[0]!.says).toContain(says);
});
