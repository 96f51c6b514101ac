import { choice, count, type FindingTable, number, photo, stated, text } from './define.js';

/** Lengths that stand once in a session, or that all its lamp or pair shots have. */
export const DOUBTED_LENGTHS = [
  'tube-length',
  'back-pitch',
  'front-pitch',
  'both pitches',
  'distance',
  'lamp distance',
  'pair distance',
  'spacing',
  'lamp place',
  'lamp across',
  'lamp up',
  'lamp place and distance',
] as const;
export type DoubtedLength = (typeof DOUBTED_LENGTHS)[number];

const kinds = choice('of which shots', ['lamp', 'pair', 'both']);
const kind = choice('of which shots', ['lamp', 'pair']);
const lengths = choice('which length', DOUBTED_LENGTHS);
const statedMm = number('as stated; where shots state several, the first').nullable();
const fittingFactor = number('the value that would fit over the stated one');

const KINDS = ['dark', 'even', 'bare', 'lamp', 'pair', 'single'] as const;

/** What a photo is seen to be, where it is not what its shot says. */
const SEEN_AS = [
  'all alike',
  'noise',
  'tubes lit',
  'bright',
  'darker than the stray light',
  'nothing lit',
  'no spots',
  'a pattern of spots',
  'not smooth',
  'not even',
  'darker than its background',
  'evenly lit',
  'other tubes lit',
] as const;
export type SeenAs = (typeof SEEN_AS)[number];

/**
 * What makes a figure doubtful: something that the session states and the photos contradict.
 *
 * Every code begins with `doubt-`, is about the field of session.yaml or the photo in question, and has values whose
 * names begin with `stated`, `seen` and `fitting`, as far as each applies: what the session states, what the photos show,
 * and the stated value that would fit them (null where none would). Figures that rest on it carry `doubtful: true`.
 */
export const DOUBT = {
  'doubt-photo-kind': {
    about: photo,
    meaning: 'a photo is not what its shot says, and was left out',
    values: {
      statedKind: choice('kind of its shot', KINDS),
      seenAs: choice('what it looks like instead', SEEN_AS),
      seenAgainst: text(
        'photo of the first even shot, where this is another even shot: either may be the wrong one',
      ).nullable(),
      fittingKind: choice('kind of shot that it looks like', KINDS).nullable(),
    },
  },
  'doubt-pair-distance': {
    about: stated,
    meaning:
      'the separation of the lamps’ images does not fit the stated distance; left out of the resolving distance',
    values: {
      statedM: number('distance as stated'),
      seenCells: number('separation of the lamps’ images'),
      seenUncertaintyCells: number('its standard uncertainty'),
      fittingM: number('distance at which the images would have this separation').nullable(),
    },
  },
  'doubt-bore': {
    about: stated,
    meaning: 'the spots of open tubes in the even shot are wider or narrower than the stated bore',
    values: {
      statedMm: number('as stated'),
      seenMm: number('full width of a typical spot at half maximum, on the sheet'),
      seenUncertaintyMm: number(
        'standard uncertainty of the bore that it shows: scatter in the sheet and blur change it',
      ),
    },
  },
  'doubt-mirrored': {
    about: stated,
    meaning:
      'the lamps’ images move the other way than the stated places do: signs of a direction are the wrong way round',
    values: { fittingKinds: kinds, fittingAxis: choice('which signs', ['across', 'up', 'both']) },
  },
  'doubt-axes-exchanged': {
    about: stated,
    meaning: 'across and up are exchanged, or the camera was turned by a quarter',
    values: {
      fittingKinds: kinds,
      fittingAcross: choice('what across should be', ['up', '-up']),
      fittingUp: choice('what up should be', ['across', '-across']),
    },
  },
  'doubt-pairs-turned': {
    about: stated,
    meaning: 'the images of the pairs lie side by side where one above the other is stated, or the reverse',
    values: {
      statedDeg: number('turned, as stated; of the first pair'),
      fittingDeg: number('turned, as it would fit'),
    },
  },
  'doubt-unit': {
    about: stated,
    meaning: 'a length would fit in another unit, or halved or doubled',
    values: { length: lengths, statedMm, fittingMm: statedMm, fittingFactor },
  },
  'doubt-length': {
    about: stated,
    meaning: 'a length as stated contradicts what the photos show',
    values: {
      length: lengths,
      statedMm,
      fittingMm: statedMm,
      fittingFactor,
      fittingUncertainty: number('relative standard uncertainty of the value that would fit'),
    },
  },
  'doubt-from-sheet': {
    about: stated,
    meaning: 'distances would fit if they were measured from the sheet instead of the front face',
    values: { fittingKinds: kinds, fittingOffsetMm: number('to add to each stated distance') },
  },
  'doubt-distance-offset': {
    about: stated,
    meaning: 'distances would fit if all were longer or shorter by the same length',
    values: {
      fittingKinds: kinds,
      fittingOffsetMm: number('to add to each stated distance'),
      fittingUncertaintyMm: number('its standard uncertainty'),
    },
  },
  'doubt-labels-shifted': {
    about: stated,
    meaning: 'from one photo on, each shows what is stated of its neighbour in the list',
    values: {
      kind,
      statedFrom: text('first photo of those'),
      fittingShift: choice('of which neighbour', ['the one after it', 'the one before it']),
    },
  },
  'doubt-order': {
    about: stated,
    meaning: 'photos would fit in another order than the listed one',
    values: { kind, fittingOrder: choice('which', ['reversed', 'serpentine', 'by columns']) },
  },
  'doubt-labels-swapped': {
    about: stated,
    meaning: 'two photos each show what is stated of the other; both are left out',
    values: { statedFirst: text('one photo'), statedSecond: text('the other photo') },
  },
  'doubt-number': {
    about: stated,
    meaning: 'a number of one shot, or of a few that state the same, contradicts its photo',
    values: {
      photo: text('photo, the first where there are several'),
      shots: count('shots that state it'),
      field: choice('which number', ['across', 'up', 'distance', 'spacing']),
      statedMm: number('as stated'),
      fittingMm: number('as it would fit'),
      fittingUncertaintyMm: number('standard uncertainty of that'),
    },
  },
  'doubt-exposure': {
    about: stated,
    meaning: 'a photo’s light doesn’t fit its exposure and its lamps’ distance',
    values: {
      fittingFactor: number('the exposure that would fit over the stated one'),
      fittingUncertainty: number('relative standard uncertainty of that'),
    },
  },
  'doubt-photo': {
    about: stated,
    meaning:
      'a photo’s light lies elsewhere than its stated lamps ask for, and no one number explains it; left out',
    values: { statedKind: kind },
  },
  'doubt-alternative': {
    about: stated,
    meaning: 'another single change that would explain the photos nearly as well as the finding before it',
    values: { length: lengths, statedMm, fittingMm: statedMm, fittingFactor },
  },
  'doubt-unexplained': {
    about: stated,
    meaning: 'what is stated and what the photos show disagree, and no single change explains it',
    values: {
      seenShots: count('lamp and pair shots that don’t fit'),
      statedShots: count('lamp and pair shots'),
    },
  },
} as const satisfies FindingTable;
