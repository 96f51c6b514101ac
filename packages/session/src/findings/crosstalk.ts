import { type FindingTable, part, place, text } from './define.js';

/** Light that leaves by other tubes. */
export const CROSSTALK = {
  'no-single': {
    about: part('crosstalk'),
    meaning: 'no single shots, so no crosstalk',
    values: {},
  },
  'single-not-lit': {
    about: part('crosstalk'),
    meaning: 'the tube that the session names is not the one that is lit, or gives too little light',
    values: { photo: text('the shot'), tube: place('the tube that the session names') },
  },
} as const satisfies FindingTable;
