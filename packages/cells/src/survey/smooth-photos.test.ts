import { seededRandom } from '@twolamp/optics';
import type { EvenShot, LinearPhoto, Session } from '@twolamp/session';
import { expect, test } from 'vitest';
import { blur } from '@twolamp/places';
import { drawCells, softDisc, testArray } from '../../../places/src/fixtures/draw-cells.js';
import { openSurvey } from './kept-photos.js';
import { nextShot, surveyShot } from './open-survey.js';
import { surveyOf } from './survey-of.js';

const array = testArray(8, 10);
const shots: EvenShot[] = ['even-1.png', 'even-2.png'].map((photo) => ({ photo, kind: 'even', stated: {} }));
const session = { array, criterion: 0.265, tone: 'srgb', lampDiameterMm: null, shots } as unknown as Session;

/** Two even shots of one sheet by a camera that holds so many electrons at ISO 100. */
function photosBy(electrons: number, iso: number | null, treat: (photo: LinearPhoto) => LinearPhoto) {
  return shots.map((_, n) => {
    const noise = { electrons: (electrons * 100) / (iso ?? 100), read: 0.0001, random: seededRandom(31 + n) };
    // A soft rim, as a sheet shows it.
    const { photo } = drawCells({
      array,
      pitchPx: 16,
      spot: softDisc(0.4, 0.02),
      light: () => 0.6,
      floor: 0.02,
      noise,
    });
    return treat({ ...photo, exposureS: 1, iso, aperture: 1.8 });
  });
}

function findingsOf(photos: readonly LinearPhoto[]) {
  const survey = openSurvey();
  for (let shot = nextShot(survey, session); shot; shot = nextShot(survey, session)) {
    surveyShot(survey, session, shot, photos[shots.indexOf(shot as EvenShot)]!);
  }
  return surveyOf(survey, session)!.findings.filter(({ code }) => code === 'even-too-smooth');
}

const asTaken = (photo: LinearPhoto) => photo;
const smoothed = (photo: LinearPhoto): LinearPhoto => {
  const { width, height, light } = photo;
  return { ...photo, light: blur({ width, height, data: light }, 2).data };
};

test.each([
  ['a phone', 8000, 100, asTaken],
  ['a phone in dim light', 8000, 3200, asTaken],
  ['a camera with a large sensor', 90_000, 100, asTaken],
  ['smoothed, but nobody knows at which ISO', 8000, null, smoothed],
] as const)('%s: nothing is said', (_, electrons, iso, treat) => {
  expect(findingsOf(photosBy(electrons, iso, treat))).toEqual([]);
});

test.each([
  ['a phone that smooths noise away', 8000, 400, smoothed],
  // The mean of 30 frames has the noise of 30 times the electrons.
  ['a phone that merges 30 frames', 30 * 8000, 100, asTaken],
] as const)('%s: the photos are too smooth for their light', (_, electrons, iso, treat) => {
  const [found, ...more] = findingsOf(photosBy(electrons, iso, treat));
  expect(more).toEqual([]);
  expect(found).toMatchObject({ about: 'even-1.png', values: { against: 'even-2.png', iso } });
});

test('the noise is that of the electrons', () => {
  // Least as if 100,000 electrons filled the scale; these photos hold 240,000: √(100/240) of it.
  const [found] = findingsOf(photosBy(240_000, 100, asTaken));
  const { seenShare, leastShare } = found!.values as { seenShare: number; leastShare: number };
  // A median of absolute values gives σ with a standard error of 1.17 σ/√N (asymptotic efficiency 0.37).
  const standardError = 1.17 / Math.sqrt(array.rows * array.columns);
  expect(Math.abs(seenShare / leastShare / Math.sqrt(100 / 240) - 1)).toBeLessThan(3 * standardError);
});
