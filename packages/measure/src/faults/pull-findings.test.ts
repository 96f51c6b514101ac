import { finding } from '@twolamp/session';
import { expect, test } from 'vitest';
import { pullEntries, pullFindings } from './pull-findings.js';

const entries = [
  { cell: 64, row: 3, column: 4, fault: 'blocked', gain: 0.006 },
  { cell: 126, row: 5, column: 6, fault: 'weak', gain: 0.004 },
] as const;
const PAIR = { spacingMm: 60, distanceMm: 2290 };

test('both gains with their uncertainties, of all and of each tube', () => {
  const gains = [
    { gain: -0.004, uncertainty: 0.001 },
    { gain: 0.001, uncertainty: 0.0005 },
  ];
  const list = {
    entries,
    uncertainty: [0.0003, 0.0004],
    dip: { mean: 0.25, gains, all: { gain: -0.003, uncertainty: 0.0011 } },
  };
  expect(pullFindings(list, PAIR)).toEqual([
    // 0.0003 and 0.0004 together 0.0005.
    finding('pull-gain', 'pull', {
      tubes: 2,
      gain: expect.closeTo(0.01, 12) as number,
      gainUncertainty: expect.closeTo(0.0005, 12) as number,
    }),
    finding('pull-dip', 'pull', {
      spacingMm: 60,
      distanceM: 2.29,
      meanDip: 0.25,
      dipGain: -0.003,
      dipGainUncertainty: 0.0011,
    }),
  ]);
  expect(pullEntries(list)[1]).toEqual({
    ...entries[1],
    gainUncertainty: 0.0004,
    dipGain: 0.001,
    dipGainUncertainty: 0.0005,
  });
});

test('no pair that counts: light only', () => {
  const list = { entries: entries.slice(0, 1), uncertainty: [0.0003], dip: null };
  expect(pullFindings(list, null)).toEqual([
    finding('pull-gain', 'pull', { tubes: 1, gain: 0.006, gainUncertainty: 0.0003 }),
  ]);
  expect(pullEntries(list)).toEqual([
    { ...entries[0], gainUncertainty: 0.0003, dipGain: null, dipGainUncertainty: null },
  ]);
});

test('nothing to pull, nothing to say', () => {
  expect(pullFindings({ entries: [], uncertainty: [], dip: null }, PAIR)).toEqual([]);
});
