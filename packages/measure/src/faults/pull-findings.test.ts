import { finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { pullEntries, pullFindings, repairs } from './pull-findings.js';

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
    dip: { mean: 0.25, gains, together: [gains[0], { gain: -0.003, uncertainty: 0.0011 }] },
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

describe('repairs', () => {
  const blocked = Array.from({ length: 7 }, (_, n) => ({
    ...entries[0],
    cell: n + 1,
    column: n + 1,
    gain: 0.002,
  }));
  const gain = (of: number) => ({ gain: of, uncertainty: of / 10 });
  const list = {
    entries: blocked,
    uncertainty: blocked.map(() => 0.0003),
    dip: {
      mean: 0.25,
      gains: blocked.map(() => gain(0.004)),
      together: [gain(0.004), gain(0.02), gain(0.03)],
    },
  };
  // A dip that falls by 0.2 a metre through 0.265 at 2.2 m.
  const distanceM = Array.from({ length: 21 }, (_, n) => 1.2 + n / 10);
  const curve = { distanceM, dip: distanceM.map((m) => 0.265 - 0.2 * (m - 2.2)), lowDip: [], highDip: [] };

  test('the first, the first five and all: light adds up, distance is dip over the slope', () => {
    const found = repairs(list, { distanceM: 2.2, bound: 'within' }, curve);
    expect(found.map(({ tubes }) => tubes)).toEqual([1, 5, 7]);
    found.forEach(({ light, lightUncertainty, dip, fartherM, fartherUncertaintyM }, n) => {
      const tubes = [1, 5, 7][n]!;
      expect(light).toBeCloseTo(0.002 * tubes, 12);
      expect(lightUncertainty).toBeCloseTo(0.0003 * Math.sqrt(tubes), 12);
      expect(dip).toBe([0.004, 0.02, 0.03][n]);
      expect(fartherM).toBeCloseTo([0.02, 0.1, 0.15][n]!, 9);
      expect(fartherUncertaintyM).toBeCloseTo([0.002, 0.01, 0.015][n]!, 9);
    });
  });

  test.each([
    ['the lamps are separate at all distances', { distanceM: 3.2, bound: 'beyond' } as const, curve],
    ['nothing is known of the distance', null, null],
    [
      'the curve does not fall',
      { distanceM: 2.2, bound: 'within' } as const,
      { ...curve, dip: distanceM.map(() => 0.3) },
    ],
  ])('no distance where %s', (_, resolving, of) => {
    expect(repairs(list, resolving, of).map(({ fartherM }) => fartherM)).toEqual([null, null, null]);
  });
});
