import { z } from 'zod';
import { count, type FindingTable, number, part } from './define.js';

/** Where the tubes look, and how wide. */
export const POINTING = {
  'cell-screen': {
    about: part('array'),
    meaning:
      'short cells behind a lens: transmission and crosstalk only, no pointing, walls, resolving distance',
    values: {},
  },
  'lamps-too-few': {
    about: part('pointing'),
    meaning: 'too few lamp shots for pointing',
    values: { lamps: count('lamp places shot'), needed: count('lamp places needed') },
  },
  'lamps-light-too-few-tubes': {
    about: part('pointing'),
    meaning: 'hardly any tube is clearly lit by three lamps or more, so no pointing',
    values: { lamps: count('lamp places shot') },
  },
  'could-be-turned': {
    about: part('cells'),
    meaning: 'no shot tells which way up the photos are: rows and columns could be turned by half a turn',
    values: {},
  },
  'lamp-images-unclear': {
    about: part('pointing'),
    meaning: 'lamp photos that show no clear image of one lamp, so their stated places were not checked',
    values: { photos: z.array(z.string()).min(1).describe('such photos') },
  },
  'lamps-far-apart': {
    about: part('pointing'),
    meaning: 'the lamp places are farther apart than a tube sees wide',
    values: {
      spacingDeg: number('typical angle between neighbouring lamp places'),
      widthDeg: number('median acceptance width in the light of lamps this near').nullable(),
    },
  },
  'tubes-not-pointed': {
    about: part('pointing'),
    meaning: 'some tubes have no pointing',
    values: {
      tubes: count('such tubes'),
      dark: count('of them: no lamp lights them'),
      fewLamps: count('of them: too few lamps light them clearly'),
      rim: count('of them: they look past the rim of the sweep, or at it'),
      ambiguous: count('of them: their light fits more than one direction'),
    },
  },
  'sweep-partial': {
    about: part('pointing'),
    meaning: 'more lamp places would make each direction more certain',
    values: {
      lamps: count('lamp places shot'),
      uncertaintyDeg: number('median standard uncertainty of a direction'),
      fullSweep: count('lamp places of a full sweep'),
      fullUncertaintyDeg: number('the same, as expected of a full sweep'),
    },
  },
  'lamp-diameter-not-stated': {
    about: part('pointing'),
    meaning: 'the lamp diameter is not stated, which leaves acceptance widths uncertain',
    values: { widthShare: number('standard uncertainty of the widths from this alone, share') },
  },
} as const satisfies FindingTable;
