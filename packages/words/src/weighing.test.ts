import type { Way, Weighing } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { distanceText } from './distance.js';
import { hoursText, worthSentence } from './weighing.js';

const way = (name: string, changes: Partial<Way> = {}): Way => ({
  way: name,
  tubes: 275,
  newTubes: 0,
  hours: 0,
  resolvingM: { value: 2.2, low: 2.16, high: 2.24, basis: 'measured', bound: 'within' },
  fieldDeg: { across: 5.8, up: 2.7, uncertainty: 0.1, basis: 'measured' },
  rows: 12,
  columns: 24,
  cellsAcrossSubject: null,
  effectiveFNumber: null,
  exposure: null,
  preview: null,
  ...changes,
});
const weighing = (...ways: Way[]): Weighing => ({
  format: 'twolamp-weighing/1',
  array: 'Reed panel',
  minutesPerTube: { value: 2.5, stated: true },
  spacingM: 0.06,
  subject: null,
  lens: null,
  ways: [way('as it is'), ...ways],
});

describe('worthSentence', () => {
  test.each([
    [
      'a half-built array',
      [way('finished', { tubes: 480, newTubes: 205, hours: 8.54, rows: 20 })],
      '8.5 h of work on 205 tubes: finishing widens the picture from 12 to 20 rows; it doesn’t make it finer.',
    ],
    [
      'gaps inside the outline',
      [way('finished', { tubes: 288, newTubes: 13, hours: 0.54 })],
      '32 min of work on 13 tubes: finishing fills the picture’s gaps with 13 tubes; it doesn’t make it finer.',
    ],
    [
      'a mended array that gains',
      [
        way('mended', {
          newTubes: 7,
          hours: 0.3,
          resolvingM: { value: 2.4, low: 2.35, high: 2.45, basis: 'predicted', bound: 'within' },
        }),
      ],
      '18 min of work on 7 tubes: the mended array keeps two lamps separate 0.20\u00a0m farther away.',
    ],
    [
      'a gain that is none',
      [
        way('mended', {
          newTubes: 7,
          hours: 0.3,
          resolvingM: { value: 2.22, low: 2.17, high: 2.27, basis: 'predicted', bound: 'within' },
        }),
      ],
      '18 min of work on 7 tubes: the mended array should keep two lamps separate up to 2.22 m, now 2.20 m: a change within the uncertainty of the measured distance.',
    ],
    [
      'nothing to do',
      [],
      'No hole is empty and no tube is on the pull list: only a rebuild would change it.',
    ],
  ])('%s', (_, ways, says) => {
    expect(worthSentence(weighing(...ways)).replaceAll('\u00a0', ' ')).toBe(says.replaceAll('\u00a0', ' '));
  });
});

test.each([
  [0, 'none'],
  [0.01, '1 min'],
  [0.5, '30 min'],
  [8.54, '8.5 h'],
  [20, '20 h'],
])('%f hours are "%s"', (hours, text) => {
  expect(hoursText(hours).replaceAll('\u00a0', ' ')).toBe(text);
});

test.each([
  [null, 'not known'],
  [{ value: 2.2, low: 2.16, high: 2.24, basis: 'measured', bound: 'within' }, '2.20 m (2.16 to 2.24 m)'],
  [{ value: 3, low: null, high: null, basis: 'measured', bound: 'beyond' }, 'farther than 3.00 m'],
  [{ value: 1, low: null, high: null, basis: 'measured', bound: 'nearer' }, 'nearer than 1.00 m'],
] as const)('a resolving distance %j is "%s"', (resolving, text) => {
  expect(distanceText(resolving).replaceAll('\u00a0', ' ')).toBe(text);
});
