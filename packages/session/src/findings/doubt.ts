import { choice, type FindingTable, number, photo, stated } from './define.js';

const KINDS = ['dark', 'even', 'bare', 'lamp', 'pair', 'single'] as const;

/** What a photo is seen to be, where it is not what its shot says. */
const SEEN_AS = [
  'all alike',
  'noise',
  'tubes lit',
  'bright',
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
 * names begin with `stated`, `seen` and `fitting`: what the session states, what the photos show, and the stated value
 * that would fit them (null where none would). Figures that rest on it carry `doubtful: true`.
 */
export const DOUBT = {
  'doubt-photo-kind': {
    about: photo,
    meaning: 'a photo is not what its shot says, and was left out',
    values: {
      statedKind: choice('kind of its shot', KINDS),
      seenAs: choice('what it looks like instead', SEEN_AS),
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
} as const satisfies FindingTable;
