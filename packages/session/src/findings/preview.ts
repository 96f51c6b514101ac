import { choice, count, type FindingTable, number, part } from './define.js';

/** A scene as an array would paint it. */
export const PREVIEW = {
  'no-light': {
    about: part('exposure'),
    meaning: 'by the absolute transmission the tubes pass no light, so that no exposure can be given',
    values: {},
  },
  'pointing-assumed': {
    about: part('pointing'),
    meaning: 'where the tubes look was not measured; the stated dimensions are used',
    values: {},
  },
  'pointing-sparse': {
    about: part('pointing'),
    meaning:
      'pointing was measured for too few tubes to give a field; the others follow the stated dimensions',
    values: { known: count('tubes with a pointing'), tubes: count('tubes in all') },
  },
  'pointing-filled-in': {
    about: part('pointing'),
    meaning: 'some tubes have no pointing; they are taken to look as the tubes around them',
    values: { unknown: count('tubes without a pointing'), tubes: count('tubes in all') },
  },
  'acceptance-assumed': {
    about: part('acceptance'),
    meaning: 'how wide the tubes see was not measured',
    values: {
      from: choice('what it is taken from instead', [
        'the stated wall',
        'absolute transmission',
        'black walls',
      ]),
    },
  },
  'light-filled-in': {
    about: part('transmission'),
    meaning: 'some tubes have no relative transmission; they are taken to be typical',
    values: { unknown: count('tubes without one'), tubes: count('tubes in all') },
  },
  'crosstalk-left-out': {
    about: part('crosstalk'),
    meaning: 'crosstalk was not measured; the picture has none',
    values: {},
  },
  'crosstalk-too-strong': {
    about: part('crosstalk'),
    meaning: 'crosstalk is too strong to be separated fully from transmission',
    values: {},
  },
  'nothing-to-pull': {
    about: part('repaired'),
    meaning: 'the pull list is empty: the repaired array equals the measured one',
    values: {},
  },
  'field-of-view': {
    about: part('scene'),
    meaning: 'the field that the tubes look at, at the scene’s distance',
    values: { widthM: number('width'), heightM: number('height') },
  },
  'tubes-look-past-scene': {
    about: part('scene'),
    meaning: 'some tubes look mostly past the scene’s edges, where it is taken to be dark',
    values: { beside: count('such tubes'), tubes: count('tubes in all') },
  },
  'scene-clipped': {
    about: part('scene'),
    meaning: 'part of the scene’s photo is clipped',
    values: { share: number('share of its pixels') },
  },
  'array-too-small-to-compare': {
    about: part('similarity'),
    meaning: 'the array has too few rows or columns for a similarity',
    values: { needed: count('rows and columns needed') },
  },
  'scene-too-small-to-compare': {
    about: part('similarity'),
    meaning: 'too few tubes look at the scene for a similarity',
    values: {},
  },
  'exposures-contradict': {
    about: part('exposure'),
    meaning: 'absolute transmission above 1: the exposures of bare and even shots do not agree',
    values: {},
  },
  'exposure-predicted': {
    about: part('exposure'),
    meaning: 'absolute transmission was not measured; the exposure is predicted from width and wall',
    values: {},
  },
  'reciprocity-left-out': {
    about: part('exposure'),
    meaning: 'exposure is scaled by f-number alone, without reciprocity failure',
    values: {},
  },
} as const satisfies FindingTable;
