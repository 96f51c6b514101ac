import { type FindingTable, part } from './define.js';

/** The walls' effective gloss. */
export const WALL = {
  'wall-unknown': {
    about: part('wall'),
    meaning: 'neither acceptance widths nor absolute transmission are known, so no gloss',
    values: {},
  },
  'wider-than-smooth-walls': {
    about: part('wall'),
    meaning: 'the tubes see wider than the smoothest wall of this material explains',
    values: {},
  },
  'narrower-than-black-walls': {
    about: part('wall'),
    meaning: 'the tubes see narrower than a wall that reflects nothing explains',
    values: {},
  },
  'wall-figures-disagree': {
    about: part('wall'),
    meaning: 'acceptance width and absolute transmission do not fit one gloss',
    values: {},
  },
} as const satisfies FindingTable;
