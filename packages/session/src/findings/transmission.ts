import { count, type FindingTable, number, part, places, text } from './define.js';

/** Relative and absolute transmission. */
export const TRANSMISSION = {
  'no-bare': {
    about: part('transmission.absolute'),
    meaning: 'no bare shot, so no absolute transmission',
    values: {},
  },
  'bare-misfit': {
    about: part('transmission.absolute'),
    meaning: 'by the bare shot the tubes would pass more than all light, none, or anything: left out',
    values: {
      photo: text('the bare shot, the first where there are several').optional(),
      typical: number('median absolute transmission as computed'),
      uncertainty: number('its standard uncertainty'),
    },
  },
  'light-negative': {
    about: part('transmission.relative'),
    meaning: 'cells are darker than the background around them by more than their noise',
    values: {
      negative: count('cells that are'),
      lowest: number('light of the darkest, over that of a typical tube'),
      first: places('the first of them, in reading order'),
    },
  },
  'light-scattered': {
    about: part('transmission.relative'),
    meaning: 'healthy tubes differ so much among themselves that one figure for all says nothing',
    values: { scatter: number('robust standard deviation over the typical light') },
  },
  'sheet-non-uniform': {
    about: part('transmission.relative'),
    meaning: 'non-uniformity of the sheet is part of relative transmission; a bare shot would remove it',
    values: { scatter: number('standard deviation from cell to cell, share of the light') },
  },
} as const satisfies FindingTable;
