import { type Random, seededRandom } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { CommonAcceptance } from '../pointing/common-acceptance.js';
import type { PointingGap, PointingSurvey, TubePointing } from '../pointing/measure-pointing.js';
import type { BowFit } from './bow-fit.js';
import { mirrorBows } from './bows.js';
import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';
import { type FaultEvidence, findFaults } from './find-faults.js';

const ARRAY: ArraySpec = {
  name: 'bench',
  arrangement: 'square',
  rows: 20,
  columns: 25,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const TUBES = 500;
const WIDTH_DEG = 2;
const DEG = Math.PI / 180;

/** A tube's pointing as the sweep gives it: off by so many degrees, so much wider. */
function pointing(acrossDeg: number, upDeg: number, widening = 0, ownShapeGain = 0): TubePointing {
  return {
    acrossDeg,
    upDeg,
    uncertaintyDeg: 0.02,
    error: {
      acrossDeg,
      upDeg,
      totalDeg: Math.hypot(acrossDeg, upDeg),
      uncertaintyDeg: 0.02,
      across: Math.tan(acrossDeg * DEG),
      up: Math.tan(upDeg * DEG),
    },
    acceptanceWidthDeg: WIDTH_DEG * Math.exp(widening),
    acceptanceWidthUncertaintyDeg: 0.02,
    widening: { value: widening, sigma: 0.01 },
    ownShapeGain,
    ownShape: ownShapeGain > 20,
    shape: Float64Array.of(1, Math.tan(acrossDeg * DEG), Math.tan(upDeg * DEG), widening, 0, 0, 0),
  };
}

const COMMON: CommonAcceptance = {
  acceptance: {
    profile: {
      knots: Float64Array.of(0, 1),
      values: Float64Array.of(1, 0),
      derivatives: Float64Array.of(-1, -1),
    },
    halfRadius: Math.tan(WIDTH_DEG * DEG) / 2,
    area: 1 / 6,
    meanRadius: 0.5,
  },
  widthShare: 0.01,
  modelError: { share: 0.01, floor: 0.001 },
  widthScatter: 0.03,
  typicalLight: 1,
  evenLight: () => null,
  stopped: 'converged',
};

interface Made {
  relative: Float64Array;
  tubes: (TubePointing | null)[];
  gaps: (PointingGap | null)[];
  leaks: (TubeLeak | null)[];
  swept: boolean;
  bow: BowFit | null;
}

/** Healthy tubes: 3 % of scatter in light, 0.15° in direction, 2 % in width. */
function healthy(random: Random): Made {
  return {
    relative: Float64Array.from({ length: TUBES }, () => 1 + 0.03 * random.normal()),
    tubes: Array.from({ length: TUBES }, () =>
      pointing(0.15 * random.normal(), 0.15 * random.normal(), 0.02 * random.normal()),
    ),
    gaps: new Array<PointingGap | null>(TUBES).fill(null),
    leaks: new Array<TubeLeak | null>(TUBES).fill(null),
    swept: true,
    bow: null,
  };
}

function survey(made: Made) {
  const survey: PointingSurvey = {
    tubes: made.swept ? made.tubes : new Array<null>(TUBES).fill(null),
    gaps: made.swept ? made.gaps : new Array<PointingGap>(TUBES).fill('few lamps'),
    common: made.swept ? COMMON : null,
    sweep: null,
    field: null,
    typicalWidthDeg: made.swept ? WIDTH_DEG : null,
    scatterDeg: made.swept ? 0.15 : null,
    findings: [],
  };
  const evidence: FaultEvidence = {
    array: ARRAY,
    relative: made.relative,
    relativeSigma: new Float64Array(TUBES).fill(0.01),
    pointing: survey,
    leaks: made.leaks,
    sweepLeaks: [],
    bows: mirrorBows({ boreMm: ARRAY.tubeBoreMm, lengthMm: ARRAY.tubeLengthMm }),
    bowFit: () => made.bow,
  };
  return findFaults(evidence);
}

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
    const { tubes } = survey(made);
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
    const { tubes } = survey(made);
    expect(tubes[3].bend!.bowMm).toBeCloseTo((Math.tan(2 * DEG) * 150) / 4, 10);
    expect(tubes[3].cureShiftMm).toBeNull();
    expect(tubes[4].cureShiftMm!.up).toBeCloseTo(Math.tan(DEG) * 150, 10);
    expect(tubes[4].cureShiftMm!.across).toBeCloseTo(0, 10);
    expect(tubes[4].bend).toBeNull();
  });

  test('natural scatter is no fault: at most 1 in 200 of healthy tubes', () => {
    let alarms = 0;
    for (let seed = 0; seed < 8; seed++) {
      alarms += survey(healthy(seededRandom(seed))).tubes.filter((tube) => tube.fault !== 'none').length;
    }
    expect(alarms).toBeLessThanOrEqual((8 * TUBES) / 200);
  });

  test('losses of 15 % and offsets of five scatters among 40 faulty tubes are found', () => {
    const random = seededRandom(9);
    const made = healthy(random);
    for (let n = 0; n < 20; n++) {
      made.relative[n] = 0.85 - 0.3 * random.uniform();
      made.tubes[100 + n] = pointing(0.75 + random.uniform(), 0, 0.02 * random.normal());
    }
    const { tubes } = survey(made);
    expect(tubes.slice(0, 20).filter((tube) => tube.fault === 'weak').length).toBeGreaterThanOrEqual(19);
    const aside = tubes.slice(100, 120).filter((tube) => ['misaimed', 'bent'].includes(tube.fault));
    expect(aside).toHaveLength(20);
  });

  test('a quarter of the array blocked leaves the rest as it is', () => {
    const made = healthy(seededRandom(10));
    for (let n = 0; n < TUBES / 4; n++) {
      made.relative[n] = 0.002;
      made.tubes[n] = null;
      made.gaps[n] = 'dark';
    }
    const { tubes } = survey(made);
    expect(tubes.slice(0, TUBES / 4).every((tube) => tube.fault === 'blocked')).toBe(true);
    expect(tubes.slice(TUBES / 4).filter((tube) => tube.fault !== 'none').length).toBeLessThanOrEqual(2);
  });

  test('a tube of unknown light is judged by its direction alone', () => {
    const made = healthy(seededRandom(11));
    made.relative[8] = Number.NaN;
    made.relative[9] = Number.NaN;
    made.tubes[9] = pointing(1.5, 0, 0.3);
    const { tubes } = survey(made);
    expect([tubes[8].fault, tubes[9].fault]).toEqual(['none', 'bent']);
  });

  test('findings name the shots that are missing', () => {
    const made = healthy(seededRandom(12));
    made.swept = false;
    made.relative[ODD] = 0.5;
    const codes = survey(made).findings.map(({ code }) => code);
    expect(codes).toEqual(['bends-not-seen', 'leaks-not-tested']);
  });
});
