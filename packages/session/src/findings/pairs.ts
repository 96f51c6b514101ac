import { z } from 'zod';
import { count, type FindingTable, number, part, photo } from './define.js';

const crossing = {
  shotM: number('the farthest or nearest distance shot'),
  crossingM: number('where the fitted dip curve, extrapolated, crosses the criterion'),
  lowM: number('lower end of its 95 % interval'),
  highM: number('upper end of its 95 % interval'),
};

/** Pair shots and the resolving distance. */
export const PAIRS = {
  'no-pairs': {
    about: part('resolving'),
    meaning: 'no pair shots, so no resolving distance',
    values: { distancesWanted: count('distances that pair shots should be taken from') },
  },
  'pair-images-wide': {
    about: part('pairs'),
    meaning:
      'pair photos whose images are as wide as the array, so their distance and spacing could hardly be checked',
    values: { photos: z.array(z.string()).min(1).describe('such photos') },
  },
  'distances-rest-on-tape': {
    about: part('resolving'),
    meaning: 'how far all distances could be off before the photos contradict them',
    values: {
      shorterShare: number('all could be shorter by this share; larger ones than a half are not looked for'),
      longerShare: number('all could be longer by this share; larger ones than 1 are not looked for'),
      fromSheet: z.boolean().describe('whether they could be from the sheet, not from the front ends'),
      tubeLengthMm: number('by which they would be too long then'),
    },
  },
  'response-from-pairs': {
    about: part('pairs'),
    meaning: 'too few lamp shots: the response to one lamp was fitted to the pair shots themselves',
    values: { lampsWanted: count('lamp shots that would suffice') },
  },
  'response-not-converged': {
    about: part('pairs'),
    meaning: 'the fit of the response to one lamp stopped before it converged',
    values: {},
  },
  'pair-unreadable': {
    about: photo,
    meaning: 'too few cells show light of the lamps to judge this pair shot',
    values: {},
  },
  'pair-at-criterion': {
    about: photo,
    meaning: 'the dip equals the criterion within its uncertainty',
    values: {
      dip: number('measured dip'),
      dipUncertainty: number('its standard uncertainty'),
      requiredDip: number('least dip that counts as separate'),
    },
  },
  'pair-like-one-lamp': {
    about: photo,
    meaning: 'one lamp explains this pair shot as well as two',
    values: {},
  },
  'dip-readings-differ': {
    about: part('pairs'),
    meaning:
      'the dip read off the cells’ light without the model differs from the model’s beyond its uncertainty',
    values: {
      photos: z.array(z.string()).min(1).describe('pair shots of one distance, read together'),
      distanceM: number('of the lamps'),
      modelDip: number('mean dip by the model'),
      plainDip: number('dip without it'),
      uncertainty: number('standard uncertainty of the plain dip'),
    },
  },
  'resolving-readings-differ': {
    about: part('resolving'),
    meaning:
      'a plain curve through dips read without the model crosses the criterion elsewhere than the model does',
    values: {
      modelM: number('crossing by the model'),
      plainM: number('crossing of the plain curve'),
      uncertaintyM: number('standard uncertainty of their difference'),
    },
  },
  'no-crossing': {
    about: part('resolving'),
    meaning: 'no pair shot could be read, or the dip never reaches the criterion',
    values: {},
  },
  'no-prediction': {
    about: part('resolving'),
    meaning: 'theory finds no distance at which the dip crosses the criterion',
    values: {},
  },
  'lamps-off-stated-places': {
    about: part('resolving'),
    meaning: 'the lamps stand aside of their stated places by one angle in all shots, which is corrected',
    values: { acrossDeg: number('to the right'), upDeg: number('upwards') },
  },
  'separate-at-all-distances': {
    about: part('resolving'),
    meaning: 'two lamps are separate at every distance shot',
    values: crossing,
  },
  'separate-at-no-distance': {
    about: part('resolving'),
    meaning: 'two lamps are separate at no distance shot',
    values: crossing,
  },
  'few-distances': {
    about: part('resolving'),
    meaning: 'pair shots from few distances make the resolving distance less certain',
    values: { distances: count('distances shot'), wanted: count('distances wanted') },
  },
  'cells-undersample': {
    about: part('resolving'),
    meaning: 'one lamp covers less than about one cell, so lamps can fall between the tubes’ views',
    values: { separate: count('pair shots that are separate'), pairs: count('pair shots that were read') },
  },
} as const satisfies FindingTable;
