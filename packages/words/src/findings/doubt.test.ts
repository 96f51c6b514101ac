import { type AnyFinding, finding } from '@twolamp/session';
import { expect, test } from 'vitest';
import { findingSentence } from './index.js';

/* What is said where statement and photos disagree: what is stated, what fits, and which way. Written out from the values by hand. */

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const MISTYPED = { fittingUncertainty: 0.01 };

test.each<[AnyFinding, string]>([
  [
    finding('doubt-photo-kind', 'dark.jpg', {
      statedKind: 'dark',
      seenAs: 'tubes lit',
      seenAgainst: null,
      fittingKind: 'even',
    }),
    'dark.jpg is stated as a dark shot, but tubes are lit in it. It looks like an even shot. It was left out.',
  ],
  [
    finding('doubt-bore', 'array.tube-bore', { statedMm: 3.2, seenMm: 2.58, seenUncertaintyMm: 0.1 }),
    'tube-bore: 3.2 mm is stated, but the spots in the even shot are 2.58 ± 0.10 mm wide. How much light a tube passes of what falls on its bore, and how reflective its wall is, rest on it.',
  ],
  [
    finding('doubt-mirrored', 'shots.up', { fittingKinds: 'both', fittingAxis: 'up' }),
    'The images in the lamp and pair shots move opposite to their stated places: up has the wrong sign in all of them, or the photos are mirrored. Seen from the back, across grows to the right and up upwards.',
  ],
  [
    finding('doubt-mirrored', 'shots.across', { fittingKinds: 'lamp', fittingAxis: 'both' }),
    'The images in the lamp shots move opposite to their stated places: across and up have the wrong sign in all of them, or the photos are turned by 180°. Seen from the back, across grows to the right and up upwards.',
  ],
  [
    finding('doubt-axes-exchanged', 'shots.across', {
      fittingKinds: 'lamp',
      fittingAcross: '-up',
      fittingUp: 'across',
    }),
    'In the lamp shots, across and up seem to be exchanged (across fits minus up, up fits across), or the camera was turned by a quarter.',
  ],
  [
    finding('doubt-pairs-turned', 'shots.turned', { statedDeg: 0, fittingDeg: 90 }),
    'turned: 0° is stated of the pairs, but their images fit 90°.',
  ],
  [
    finding('doubt-unit', 'array.tube-length', {
      length: 'tube-length',
      statedMm: 19,
      fittingMm: 190,
      fittingFactor: 10,
    }),
    'tube-length: 19 mm is stated, but the photos fit 190 mm, as if cm had been meant where mm stands, or a digit is missing.',
  ],
  [
    finding('doubt-unit', 'shots.distance', {
      length: 'pair distance',
      statedMm: 3000,
      fittingMm: 914.4,
      fittingFactor: 0.3048,
    }),
    'The photos fit the distances of the pair shots times 0.3048 (914.4 mm in place of 3 m in the first), as if ft had been meant where m stands.',
  ],
  [
    finding('doubt-length', 'array.front-pitch', {
      length: 'front-pitch',
      statedMm: 4.8,
      fittingMm: 3.812,
      fittingFactor: 0.7942,
      ...MISTYPED,
    }),
    'front-pitch: 4.8 mm is stated, but the photos fit 3.81 ± 0.04 mm.',
  ],
  [
    finding('doubt-length', 'shots.distance', {
      length: 'lamp distance',
      statedMm: 2000,
      fittingMm: 2512,
      fittingFactor: 1.256,
      ...MISTYPED,
    }),
    'The photos fit the distances of the lamp shots times 1.256 ± 0.013 (2.512 m in place of 2 m in the first).',
  ],
  [
    finding('doubt-from-sheet', 'shots.distance', { fittingKinds: 'pair', fittingOffsetMm: -190 }),
    'The distances of the pair shots fit as if measured from the sheet: from the front face they would be 190 mm shorter.',
  ],
  [
    finding('doubt-distance-offset', 'shots.distance', {
      fittingKinds: 'both',
      fittingOffsetMm: 103,
      fittingUncertaintyMm: 12,
    }),
    'The distances of the lamp and pair shots would fit if each were 103 ± 12 mm longer. They count from the front face.',
  ],
  [
    finding('doubt-labels-shifted', 'shots', {
      kind: 'lamp',
      statedFrom: 'lamp-07.jpg',
      fittingShift: 'the one after it',
    }),
    'From lamp-07.jpg on, each of the lamp shots fits what is stated of the one after it: the list has a photo too few or too many.',
  ],
  [
    finding('doubt-order', 'shots', { kind: 'lamp', fittingOrder: 'serpentine' }),
    'The lamp shots would fit with every second row walked the other way: photos and stated places are not listed in the same order.',
  ],
  [
    finding('doubt-labels-swapped', 'a.jpg', { statedFirst: 'a.jpg', statedSecond: 'b.jpg' }),
    'a.jpg and b.jpg each fit what is stated of the other: swap their places in the session. Both were left out.',
  ],
  [
    finding('doubt-number', 'shots[4].across', {
      photo: 'lamp-2.jpg',
      shots: 1,
      field: 'across',
      statedMm: 240,
      fittingMm: -238,
      fittingUncertaintyMm: 4,
    }),
    'lamp-2.jpg: across 240 mm is stated, but the photo fits −238 ± 4 mm. Left out.',
  ],
  [
    finding('doubt-number', 'shots[4].distance', {
      photo: 'lamp-2.jpg',
      shots: 3,
      field: 'distance',
      statedMm: 2000,
      fittingMm: 1213,
      fittingUncertaintyMm: 40,
    }),
    'lamp-2.jpg: distance 2 m is stated (in 3 shots), but the photo fits 1.21 ± 0.04 m. Left out.',
  ],
  [
    finding('doubt-exposure', 'lamp-2.jpg', { fittingFactor: 2.03, fittingUncertainty: 0.02 }),
    'lamp-2.jpg: its light fits an exposure of 2.03 ± 0.04 times the stated one. Left out.',
  ],
  [
    finding('doubt-alternative', 'shots.distance', {
      length: 'distance',
      statedMm: 2000,
      fittingMm: 2500,
      fittingFactor: 1.25,
    }),
    'Nearly as well: the photos fit the distances of the lamp and pair shots times 1.25 (2.5 m in place of 2 m in the first).',
  ],
  [
    finding('doubt-unexplained', 'shots', { seenShots: 4, statedShots: 30 }),
    '4 of 30 lamp and pair shots don’t fit their stated places, and no single change of the session explains it.',
  ],
])('%j', (one, sentence) => {
  expect(plain(findingSentence(one))).toBe(sentence);
});
