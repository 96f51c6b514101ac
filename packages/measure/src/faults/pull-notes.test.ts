import { expect, test } from 'vitest';
import { pullEvidence, pullNotes } from './pull-notes.js';

const entries = [
  { row: 3, column: 4, fault: 'blocked', gain: 0.006 },
  { row: 5, column: 6, fault: 'weak', gain: 0.004 },
] as const;
const PAIR = { spacingMm: 60, distanceMm: 2290 };

test('both gains with their uncertainties, in words and beside each tube', () => {
  const gains = [
    { gain: -0.004, uncertainty: 0.001 },
    { gain: 0.001, uncertainty: 0.0005 },
  ];
  const list = {
    entries,
    uncertainty: [0.0003, 0.0004],
    dip: { mean: 0.25, gains, all: { gain: -0.003, uncertainty: 0.0011 } },
  };
  expect(pullNotes(list, PAIR).map((note) => note.says)).toEqual([
    // 0.0003 and 0.0004 together 0.0005.
    'replacing all 2 tubes on the list would bring 1.00 ± 0.05 % of the array’s light to where it is due',
    'and change the mean dip that the array paints of two lamps 60 mm apart at 2.29 m from 0.250 by −0.0030 ± 0.0011',
  ]);
  expect(pullEvidence(list)[1]).toEqual({
    gainUncertainty: 0.0004,
    dipGain: 0.001,
    dipGainUncertainty: 0.0005,
  });
});

test('no pair that counts: light only', () => {
  const list = { entries: entries.slice(0, 1), uncertainty: [0.0003], dip: null };
  expect(pullNotes(list, null).map((note) => note.says)).toEqual([
    'replacing the tube on the list would bring 0.60 ± 0.03 % of the array’s light to where it is due',
  ]);
  expect(pullEvidence(list)).toEqual([{ gainUncertainty: 0.0003, dipGain: null, dipGainUncertainty: null }]);
});

test('nothing to pull, nothing to say', () => {
  expect(pullNotes({ entries: [], uncertainty: [], dip: null }, PAIR)).toEqual([]);
});
