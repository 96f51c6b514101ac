import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';
import { faultsOf, healthy, type Made, pointing, WIDTH_DEG } from '../fixtures/made-tubes.js';
import type { BowFit } from './bow-fit.js';

const DEG = Math.PI / 180;
const ODD = 137;
const leak = (leaky: boolean): TubeLeak => ({
  total: 0.08,
  worst: { cell: 5 * 25 + 13, share: 0.06 },
  leaky,
});

const bowed = (gain: number, directionRad: number | null): BowFit => ({
  bowMm: 1.4,
  uncertaintyMm: 0.05,
  directionRad,
  gain,
});

const CASES: { name: string; make: (made: Made) => void; fault: string; reason: object | null }[] = [
  {
    name: 'no light',
    make: (m) => m.relative.fill(0.004, ODD, ODD + 1),
    fault: 'blocked',
    reason: { code: 'hardly-any-light', values: { share: expect.closeTo(0.004, 3), lit: false } },
  },
  {
    name: 'less than no light',
    make: (m) => m.relative.fill(-0.01, ODD, ODD + 1),
    fault: 'blocked',
    reason: { code: 'hardly-any-light', values: { share: expect.closeTo(-0.01, 3) } },
  },
  {
    name: 'a third lost',
    make: (m) => m.relative.fill(0.66, ODD, ODD + 1),
    fault: 'weak',
    reason: { code: 'dim', values: { share: expect.closeTo(0.66, 1), pointing: 'where it should' } },
  },
  {
    name: 'a third lost, and a direction that few lamps leave unsure',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      const seen = pointing(0.9, 0);
      m.tubes[ODD] = { ...seen, uncertaintyDeg: 0.5, error: { ...seen.error!, uncertaintyDeg: 0.5 } };
    },
    fault: 'weak',
    reason: { code: 'dim', values: { pointing: 'not known' } },
  },
  {
    name: 'a third lost, and a traced bow that fits',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(60, 2.3);
    },
    fault: 'bent',
    reason: {
      code: 'responds-as-bowed',
      values: { bowMm: 1.4, directionDeg: expect.closeTo((2.3 * 180) / Math.PI, 9) },
    },
  },
  {
    name: 'a third lost, and a traced bow of unknown side',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(60, null);
    },
    fault: 'bent',
    reason: { code: 'responds-as-bowed', values: { bowMm: 1.4, directionDeg: null } },
  },
  {
    name: 'a third lost, and a traced bow that fits hardly better',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(10, null);
    },
    fault: 'weak',
    reason: { code: 'dim', values: { pointing: 'where it should' } },
  },
  {
    name: 'plenty of light, though the sweep lights it but twice, and a traced bow that fits',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'few lamps';
      m.bow = bowed(60, 0);
    },
    fault: 'bent',
    reason: { code: 'responds-as-bowed', values: { directionDeg: 0 } },
  },
  {
    name: 'nothing amiss, and a traced bow that fits: none was asked for',
    make: (m) => {
      m.bow = bowed(60, 0);
    },
    fault: 'none',
    reason: null,
  },
  {
    name: 'light thrice',
    make: (m) => m.relative.fill(3.1, ODD, ODD + 1),
    fault: 'open',
    reason: { code: 'open', values: { share: expect.closeTo(3.1, 1) } },
  },
  {
    name: 'off alone',
    make: (m) => {
      m.tubes[ODD] = pointing(-1.2, 0, 0);
      m.relative[ODD] = 1;
    },
    fault: 'misaimed',
    reason: {
      code: 'looks-aside',
      values: { acrossDeg: -1.2, totalDeg: 1.2, shiftMm: expect.closeTo(3.14, 2), bowMm: null },
    },
  },
  {
    name: 'off and wider',
    make: (m) => {
      m.tubes[ODD] = pointing(1.2, 1.2, 0.2);
      m.relative[ODD] = 0.95;
    },
    fault: 'bent',
    reason: {
      code: 'aside-and-changed',
      values: {
        acrossDeg: 1.2,
        upDeg: 1.2,
        widthRatio: expect.closeTo(1.221, 3),
        bowMm: expect.closeTo(1.1, 1),
      },
    },
  },
  {
    name: 'off and of another shape',
    make: (m) => {
      m.tubes[ODD] = pointing(0, -1.5, 0, 40);
      m.relative[ODD] = 1;
    },
    fault: 'bent',
    reason: { code: 'aside-and-changed', values: { upDeg: -1.5, ownShape: true } },
  },
  {
    name: 'off and dimmer',
    make: (m) => {
      m.tubes[ODD] = pointing(0, -1.5, 0);
      m.relative[ODD] = 0.85;
    },
    fault: 'bent',
    reason: { code: 'aside-and-changed', values: { share: expect.closeTo(0.85, 1) } },
  },
  {
    name: 'off and perhaps wider',
    make: (m) => {
      m.tubes[ODD] = pointing(0, 1.5, 0.04);
      m.relative[ODD] = 1;
    },
    fault: 'misaimed',
    reason: { code: 'looks-aside', values: { bowMm: expect.closeTo(1, 1) } },
  },
  {
    name: 'even light, but none of the lamps’',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'dark';
    },
    fault: 'misaimed',
    reason: { code: 'not-lit-by-sweep', values: { gap: 'dark' } },
  },
  {
    name: 'a third lost, and of another shape',
    make: (m) => {
      m.tubes[ODD] = pointing(0, 0, 0, 60);
      m.relative[ODD] = 0.66;
    },
    fault: 'bent',
    reason: { code: 'shape-changed', values: { share: expect.closeTo(0.66, 1) } },
  },
  {
    name: 'a third lost, and of a shape that the sweep hardly tells',
    make: (m) => {
      m.tubes[ODD] = { ...pointing(0, 0, 0, 60), uncertaintyDeg: WIDTH_DEG / 3 };
      m.relative[ODD] = 0.66;
    },
    fault: 'weak',
    reason: { code: 'dim', values: { pointing: 'not known' } },
  },
  {
    name: 'a healthy tube whose place is where the sweep ends',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'at its rim';
    },
    fault: 'none',
    reason: null,
  },
  {
    name: 'a tube that looks past the rim of the sweep',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'beyond the sweep';
    },
    fault: 'misaimed',
    reason: { code: 'not-lit-by-sweep', values: { gap: 'past the rim' } },
  },
  {
    name: 'a third lost, not swept',
    make: (m) => {
      m.swept = false;
      m.relative[ODD] = 0.66;
    },
    fault: 'weak',
    reason: { code: 'dim', values: { pointing: 'not measured' } },
  },
  {
    name: 'a leak',
    make: (m) => m.leaks.fill(leak(true), ODD, ODD + 1),
    fault: 'leaky',
    reason: { code: 'leaks-into', values: { to: { row: 6, column: 14 }, toShare: expect.closeTo(0.06, 3) } },
  },
];

describe('findFaults', () => {
  test.each(CASES)('$name → $fault', ({ make, fault, reason }) => {
    const made = healthy(seededRandom(5));
    make(made);
    const { tubes } = faultsOf(made);
    expect(tubes[ODD].fault).toBe(fault);
    if (reason === null) expect(tubes[ODD].reason).toBeNull();
    else expect(tubes[ODD].reason).toMatchObject(reason);
    expect(tubes.filter((tube, n) => n !== ODD && tube.fault !== 'none')).toEqual([]);
  });

  test('bow and cure come from the slope: h = slope·L/4, shift = −slope·L', () => {
    const made = healthy(seededRandom(6));
    made.tubes[3] = pointing(2, 0, 0.3, 50);
    made.tubes[4] = pointing(0, -1, 0);
    made.relative[4] = 1;
    const { tubes } = faultsOf(made);
    expect(tubes[3].bend!.bowMm).toBeCloseTo((Math.tan(2 * DEG) * 150) / 4, 10);
    expect(tubes[3].cureShiftMm).toBeNull();
    expect(tubes[4].cureShiftMm!.up).toBeCloseTo(Math.tan(DEG) * 150, 10);
    expect(tubes[4].cureShiftMm!.across).toBeCloseTo(0, 10);
    expect(tubes[4].bend).toBeNull();
  });
});
