import { type FindingTable, number, stated } from './define.js';

/**
 * What makes a figure doubtful: something that the session states and the photos contradict.
 *
 * Every code begins with `doubt-`, is about the field of session.yaml or the photo in question, and has values whose
 * names begin with `stated`, `seen` and `fitting`: what the session states, what the photos show, and the stated value
 * that would fit them (null where none would). Figures that rest on it carry `doubtful: true`.
 */
export const DOUBT = {
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
