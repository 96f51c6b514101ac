import { seededRandom } from '@twolamp/optics';
import type { LinearPhoto, Session, Shot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { drawCells, testArray } from '../../../places/src/fixtures/draw-cells.js';
import { type OpenSurvey, openSurvey } from './kept-photos.js';
import { forgetPhoto, nextShot, surveyShot } from './open-survey.js';
import { surveyOf } from './survey-of.js';

const array = testArray(6, 8);
const STRAY = 0.02;

/** Stray light of {@link STRAY} lies under all of them. */
function photoOf(seed: number, light: (row: number, column: number) => number): LinearPhoto {
  const noise = { electrons: 6000, read: 0.001, random: seededRandom(seed) };
  return { ...drawCells({ array, pitchPx: 13, light, floor: STRAY, noise }).photo, exposureS: 0.5, iso: 100 };
}

const flat = (seed: number, level: number): LinearPhoto => {
  const random = seededRandom(seed);
  const { photo } = drawCells({ array, pitchPx: 13 });
  const light = photo.light.map(() => level + 0.001 * random.normal());
  return { ...photo, light, exposureS: 0.5, iso: 100 };
};

const lampAt = (column0: number) => (row: number, column: number) =>
  0.5 * Math.exp(-((row - 3) ** 2 + (column - column0) ** 2) / 5);

const shot = (photo: string, more: object): Shot => ({ photo, stated: {}, ...more }) as Shot;
const SHOTS = {
  dark: shot('dark.png', { kind: 'dark' }),
  even: shot('even.png', { kind: 'even' }),
  again: shot('again.png', { kind: 'even' }),
  bare: shot('bare.png', { kind: 'bare' }),
  left: shot('left.png', { kind: 'lamp', acrossMm: -40, upMm: 0, distanceMm: 1000 }),
  right: shot('right.png', { kind: 'lamp', acrossMm: 40, upMm: 0, distanceMm: 1000 }),
};
const PHOTOS: Record<string, LinearPhoto> = {
  'dark.png': flat(1, STRAY),
  'even.png': photoOf(2, () => 0.4),
  'again.png': photoOf(3, () => 0.4),
  'bare.png': flat(4, 0.6),
  'left.png': photoOf(5, lampAt(3)),
  'right.png': photoOf(6, lampAt(6)),
};
const { dark, even, again, bare, left, right } = SHOTS;

const sessionOf = (...shots: Shot[]): Session =>
  ({ array, criterion: 0.265, tone: 'srgb', lampDiameterMm: null, shots }) as unknown as Session;

/** Gives a survey all photos it asks for; returns their names in that order. */
function complete(survey: OpenSurvey, session: Session, photos = PHOTOS): string[] {
  const asked: string[] = [];
  for (let next = nextShot(survey, session); next; next = nextShot(survey, session)) {
    asked.push(next.photo);
    surveyShot(survey, session, next, photos[next.photo]);
  }
  return asked;
}

function surveyed(session: Session, photos = PHOTOS) {
  const survey = openSurvey();
  complete(survey, session, photos);
  return surveyOf(survey, session);
}

const whole = sessionOf(left, dark, even, bare, again, right);

describe('a survey that grows photo by photo', () => {
  test('asks for the even shot, the dark shots, then the others in the session’s order', () => {
    expect(complete(openSurvey(), whole)).toEqual([
      'even.png',
      'dark.png',
      'left.png',
      'bare.png',
      'again.png',
      'right.png',
    ]);
  });

  test.each([
    ['the dark shot last', [even, left, right, bare, again, dark]],
    ['the bare shot last', [even, dark, left, again, right, bare]],
    ['backwards', [even, right, again, bare, dark, left]],
  ])('ends as a survey of the whole session: %s', (_, order) => {
    const survey = openSurvey();
    for (let n = 1; n <= order.length; n++) {
      const sofar = sessionOf(...whole.shots.filter((one) => order.indexOf(one) < n));
      surveyShot(survey, sofar, order[n - 1], PHOTOS[order[n - 1].photo]);
      const { lit, bare: levels, photos } = surveyOf(survey, sofar)!;
      expect(lit.map((one) => one.shot.photo).sort()).toEqual(
        sofar.shots
          .filter(({ kind }) => kind !== 'dark' && kind !== 'bare')
          .map(({ photo }) => photo)
          .sort(),
      );
      expect(levels).toHaveLength(sofar.shots.filter(({ kind }) => kind === 'bare').length);
      expect(photos.map(({ photo }) => photo)).toEqual(sofar.shots.map(({ photo }) => photo));
    }
    complete(survey, whole);
    expect(surveyOf(survey, whole)).toEqual(surveyed(whole));
  });

  test('a dark shot that comes late has all others measured again, but for the even shot', () => {
    const survey = openSurvey();
    complete(survey, sessionOf(even, left, bare));
    expect(complete(survey, sessionOf(even, left, bare, dark))).toEqual(['dark.png', 'left.png', 'bare.png']);
  });

  test('a shot that is taken away is gone, and costs nothing when it comes back', () => {
    const survey = openSurvey();
    complete(survey, whole);
    const less = sessionOf(dark, even, bare, again, right);
    expect(complete(survey, less)).toEqual([]);
    expect(surveyOf(survey, less)).toEqual(surveyed(less));
    expect(complete(survey, whole)).toEqual([]);
  });

  test('a photo that is replaced is asked for again', () => {
    const survey = openSurvey();
    complete(survey, whole);
    forgetPhoto(survey, 'left.png');
    const photos = { ...PHOTOS, 'left.png': photoOf(7, lampAt(2)) };
    expect(complete(survey, whole, photos)).toEqual(['left.png']);
    expect(surveyOf(survey, whole)).toEqual(surveyed(whole, photos));
  });

  test('all photos are asked for again when the even shot is replaced, or other rows are stated', () => {
    const survey = openSurvey();
    complete(survey, sessionOf(even, dark, left));
    forgetPhoto(survey, 'even.png');
    expect(surveyOf(survey, whole)).toBeNull();
    expect(complete(survey, sessionOf(even, dark, left))).toEqual(['even.png', 'dark.png', 'left.png']);
    const other = { ...sessionOf(even, dark, left), array: { ...array, tubeBoreMm: 2 } };
    expect(complete(survey, other)).toEqual(['even.png', 'dark.png', 'left.png']);
  });

  test('lamps’ places may be stated anew at no cost; an exposure has the photo measured again', () => {
    const survey = openSurvey();
    complete(survey, whole);
    const moved = { ...left, acrossMm: -45 } as Shot;
    const session = sessionOf(moved, dark, even, bare, again, right);
    expect(complete(survey, session)).toEqual([]);
    expect(surveyOf(survey, session)!.lit[1].shot).toBe(moved);
    const longer = { ...left, stated: { ...left.stated, exposureS: 1 } };
    expect(complete(survey, sessionOf(longer, dark, even, bare, again, right))).toEqual(['left.png']);
  });

  test('goes on after structured cloning', () => {
    const first = openSurvey();
    complete(first, sessionOf(even, dark, left));
    const survey = structuredClone(first);
    expect(complete(survey, whole)).toEqual(['bare.png', 'again.png', 'right.png']);
    expect(surveyOf(survey, whole)).toEqual(surveyed(whole));
  });

  test('stays as it was where a photo is at fault', () => {
    const survey = openSurvey();
    const session = sessionOf(even, dark, left);
    complete(survey, session);
    forgetPhoto(survey, 'left.png');
    const small = drawCells({ array, pitchPx: 11 }).photo;
    expect(() => surveyShot(survey, session, left, small)).toThrow(/left\.png.*pixels, even\.png has/);
    expect(complete(survey, session)).toEqual(['left.png']);
  });

  test('has nothing to say without an even shot', () => {
    const survey = openSurvey();
    const session = sessionOf(dark, left);
    expect(nextShot(survey, session)).toBeNull();
    expect(surveyOf(survey, session)).toBeNull();
    expect(() => surveyShot(survey, session, left, PHOTOS['left.png'])).toThrow(RangeError);
  });
});
