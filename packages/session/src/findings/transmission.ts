import { type FindingTable, number, part } from './define.js';

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
      typical: number('median absolute transmission as computed'),
      uncertainty: number('its standard uncertainty'),
    },
  },
  'sheet-non-uniform': {
    about: part('transmission.relative'),
    meaning: 'non-uniformity of the sheet is part of relative transmission; a bare shot would remove it',
    values: { scatter: number('standard deviation from cell to cell, share of the light') },
  },
} as const satisfies FindingTable;
