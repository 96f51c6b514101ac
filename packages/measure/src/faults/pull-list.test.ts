import { seededRandom } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { PointingSurvey, TubePointing } from '../pointing/measure-pointing.js';
import { acceptanceProfile } from '../pointing/tube-shape.js';
import { normalTail } from '@twolamp/numeric';
import { mirrorBows } from './bows.js';
import { type FaultEvidence, findFaults } from './find-faults.js';
import { gainOfFirst, pullList } from './pull-list.js';

const ARRAY: ArraySpec = {
  name: 'bench',
  arrangement: 'square',
  rows: 10,
  columns: 20,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const TUBES = 200;
/** Slope of the Gaussian acceptance's standard deviation. */
const SIGMA = 0.02;

const knots = Float64Array.from({ length: 121 }, (_, i) => (i * SIGMA) / 20);
const GAUSSIAN = acceptanceProfile({
  knots,
  values: knots.map((r) => Math.exp(-0.5 * (r / SIGMA) ** 2)),
  derivatives: knots.map((r) => (-r / SIGMA ** 2) * Math.exp(-0.5 * (r / SIGMA) ** 2)),
});

/** A straight tube that looks aside by a slope. */
function lookingAside(across: number, up: number): TubePointing {
  const acrossDeg = (Math.atan(across) * 180) / Math.PI;
  const upDeg = (Math.atan(up) * 180) / Math.PI;
  return {
    acrossDeg,
    upDeg,
    uncertaintyDeg: 0.01,
    error: { acrossDeg, upDeg, totalDeg: Math.hypot(acrossDeg, upDeg), uncertaintyDeg: 0.01, across, up },
    acceptanceWidthDeg: 2.7,
    acceptanceWidthUncertaintyDeg: 0.01,
    widening: { value: 0, sigma: 0.01 },
    ownShapeGain: 0,
    ownShape: false,
    shape: Float64Array.of(1, across, up, 0, 0, 0, 0),
  };
}

function evidence(): FaultEvidence & { tubes: (TubePointing | null)[] } {
  const random = seededRandom(21);
  const tubes: (TubePointing | null)[] = Array.from({ length: TUBES }, () =>
    lookingAside(0.002 * random.normal(), 0.002 * random.normal()),
  );
  const pointing: PointingSurvey = {
    tubes,
    gaps: tubes.map(() => null),
    common: {
      acceptance: GAUSSIAN,
      widthShare: 0.01,
      modelError: { share: 0.01, floor: 0.001 },
      widthScatter: 0.02,
      typicalLight: 1,
      evenLight: () => null,
    },
    sweep: null,
    field: null,
    typicalWidthDeg: 2.7,
    scatterDeg: 0.1,
    findings: [],
  };
  return {
    array: ARRAY,
    relative: Float64Array.from({ length: TUBES }, () => 1 + 0.02 * random.normal()),
    relativeSigma: new Float64Array(TUBES).fill(0.005),
    pointing,
    tubes,
    leaks: new Array(TUBES).fill(null),
    sweepLeaks: [],
    bows: mirrorBows({ boreMm: ARRAY.tubeBoreMm, lengthMm: ARRAY.tubeLengthMm }),
    bowFit: () => null,
  };
}

describe('pullList', () => {
  test('missing light by hand: what a typical tube would bring more, over all tubes', () => {
    const made = evidence();
    made.relative[41] = 0;
    made.relative[7] = 0.4;
    made.relative[150] = 4;
    const faults = findFaults(made);
    const { typical } = faults.light;
    const { entries } = pullList(made, faults, null);
    expect(entries.map(({ row, column, fault }) => [row, column, fault])).toEqual([
      [3, 2, 'blocked'],
      [8, 11, 'open'],
      [1, 8, 'weak'],
    ]);
    expect(entries[0].gain).toBeCloseTo(1 / TUBES, 12);
    expect(entries[1].gain).toBeCloseTo((1 - typical / 4) / TUBES, 12);
    expect(entries[2].gain).toBeCloseTo((1 - 0.4 / typical) / TUBES, 12);
  });

  test.each([0.5, 1, 2, 3])(
    'a Gaussian moved by %d of its own shares 2Φ(−half of it) with where it should be',
    (move) => {
      const made = evidence();
      made.tubes[60] = lookingAside(move * SIGMA, 0);
      made.relative[60] = 1;
      const faults = findFaults(made);
      const [entry] = pullList(made, faults, null).entries;
      expect(entry.fault).toBe('misaimed');
      // Two equal Gaussians part along their line only: overlap 2Φ(−move/2). Here the tube's light against the median
      // tube's departs from 1 by a few thousandths.
      expect(Math.abs(TUBES * entry.gain - (1 - 2 * normalTail(move / 2)))).toBeLessThan(0.01);
    },
  );

  test('a tube whose direction is not known brings nothing that is due', () => {
    const made = evidence();
    made.tubes[60] = null;
    const gaps = [...made.pointing.gaps];
    gaps[60] = 'dark';
    const odd = { ...made, pointing: { ...made.pointing, gaps } };
    const [entry] = pullList(odd, findFaults(odd), null).entries;
    expect([entry.fault, entry.gain]).toEqual(['misaimed', 1 / TUBES]);
  });

  test('replaced tubes bring what was predicted, within its uncertainty', () => {
    const made = evidence();
    const random = seededRandom(22);
    for (let n = 30; n < 60; n++) made.relative[n] = 0.7 * random.uniform();
    const list = pullList(made, findFaults(made), null);
    expect(list.entries).toHaveLength(30);
    const predicted = gainOfFirst(list, 20);
    const typical = findFaults(made).light.typical;
    const pulls = Array.from({ length: 200 }, () => {
      const brought = list.entries.slice(0, 20).reduce((sum, { row, column }) => {
        const before = made.relative[(row! - 1) * ARRAY.columns + column! - 1] + 0.005 * random.normal();
        return sum + (1 + 0.02 * random.normal() - before / typical) / TUBES;
      }, 0);
      return (brought - predicted.gain) / predicted.uncertainty;
    });
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull ** 2, 0) / pulls.length);
    // 200 draws know their own scatter to 5 %; the population's was learnt from 170 tubes, to 7 %.
    expect(rms).toBeGreaterThan(0.7);
    expect(rms).toBeLessThan(1.3);
  });

  test('nothing at fault, nothing to pull', () => {
    const made = evidence();
    const list = pullList(made, findFaults(made), null);
    expect(list).toEqual({ entries: [], uncertainty: [], dip: null });
    expect(gainOfFirst(list, 5)).toEqual({ gain: 0, uncertainty: 0 });
  });
});
