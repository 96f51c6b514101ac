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
  straying: 0.03,
  usualLight: 1,
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
    notes: [],
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

const CASES: { name: string; make: (made: Made) => void; fault: string; because: RegExp }[] = [
  {
    name: 'no light',
    make: (m) => m.relative.fill(0.004, ODD, ODD + 1),
    fault: 'blocked',
    because: /passes 0\.4 %/,
  },
  {
    name: 'less than no light',
    make: (m) => m.relative.fill(-0.01, ODD, ODD + 1),
    fault: 'blocked',
    because: /passes 0\.0 %/,
  },
  {
    name: 'a third lost',
    make: (m) => m.relative.fill(0.66, ODD, ODD + 1),
    fault: 'weak',
    because: /passes 6\d %.*looks where it should/,
  },
  {
    name: 'a third lost, and a traced bow that fits',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(60, 2.3);
    },
    fault: 'bent',
    because: /bowed by some 1\.4 mm would, its middle too far left and up;/,
  },
  {
    name: 'a third lost, and a traced bow of unknown side',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(60, null);
    },
    fault: 'bent',
    because: /bowed by some 1\.4 mm would; no straight tube does/,
  },
  {
    name: 'a third lost, and a traced bow that fits hardly better',
    make: (m) => {
      m.relative.fill(0.66, ODD, ODD + 1);
      m.bow = bowed(10, null);
    },
    fault: 'weak',
    because: /looks where it should/,
  },
  {
    name: 'plenty of light, though the sweep lights it but twice, and a traced bow that fits',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'few lamps';
      m.bow = bowed(60, 0);
    },
    fault: 'bent',
    because: /its middle too far right;/,
  },
  {
    name: 'nothing amiss, and a traced bow that fits: none was asked for',
    make: (m) => {
      m.bow = bowed(60, 0);
    },
    fault: 'none',
    because: /^$/,
  },
  {
    name: 'light thrice',
    make: (m) => m.relative.fill(3.1, ODD, ODD + 1),
    fault: 'open',
    because: /3\.1 times/,
  },
  {
    name: 'off alone',
    make: (m) => {
      m.tubes[ODD] = pointing(-1.2, 0, 0);
      m.relative[ODD] = 1;
    },
    fault: 'misaimed',
    because: /1\.20° too far left.*front end sits 3\.1 mm off\.$/,
  },
  {
    name: 'off and wider',
    make: (m) => {
      m.tubes[ODD] = pointing(1.2, 1.2, 0.2);
      m.relative[ODD] = 0.95;
    },
    fault: 'bent',
    because: /too far right and up.*1\.22 times as wide.*bowed by some 1\.1 mm/,
  },
  {
    name: 'off and of another shape',
    make: (m) => {
      m.tubes[ODD] = pointing(0, -1.5, 0, 40);
      m.relative[ODD] = 1;
    },
    fault: 'bent',
    because: /too far down.*lopsided or blunt/,
  },
  {
    name: 'off and dimmer',
    make: (m) => {
      m.tubes[ODD] = pointing(0, -1.5, 0);
      m.relative[ODD] = 0.85;
    },
    fault: 'bent',
    because: /passes 8\d %/,
  },
  {
    name: 'off and perhaps wider',
    make: (m) => {
      m.tubes[ODD] = pointing(0, 1.5, 0.04);
      m.relative[ODD] = 1;
    },
    fault: 'misaimed',
    because: /may also be bowed by some 1\.0 mm/,
  },
  {
    name: 'even light, but none of the lamps’',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'dark';
    },
    fault: 'misaimed',
    because: /no lamp of the sweep lights it.*a wider sweep would tell/,
  },
  {
    name: 'a third lost, and of another shape',
    make: (m) => {
      m.tubes[ODD] = pointing(0, 0, 0, 60);
      m.relative[ODD] = 0.66;
    },
    fault: 'bent',
    because: /looks where it should, but sees in another shape.*or something lies across its bore/,
  },
  {
    name: 'a third lost, and of a shape that the sweep hardly tells',
    make: (m) => {
      m.tubes[ODD] = { ...pointing(0, 0, 0, 60), uncertaintyDeg: WIDTH_DEG / 3 };
      m.relative[ODD] = 0.66;
    },
    fault: 'weak',
    because: /looks where it should/,
  },
  {
    name: 'a healthy tube whose place is where the sweep ends',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'at its rim';
    },
    fault: 'none',
    because: /^$/,
  },
  {
    name: 'a tube that looks past the rim of the sweep',
    make: (m) => {
      m.tubes[ODD] = null;
      m.gaps[ODD] = 'beyond the sweep';
    },
    fault: 'misaimed',
    because: /past the rim of the sweep.*a wider sweep would tell/,
  },
  {
    name: 'a third lost, not swept',
    make: (m) => {
      m.swept = false;
      m.relative[ODD] = 0.66;
    },
    fault: 'weak',
    because: /lamp shots from many places would tell/,
  },
  {
    name: 'a leak',
    make: (m) => m.leaks.fill(leak(true), ODD, ODD + 1),
    fault: 'leaky',
    because: /6 % comes out at row 6, column 14/,
  },
];

describe('findFaults', () => {
  test.each(CASES)('$name → $fault', ({ make, fault, because }) => {
    const made = healthy(seededRandom(5));
    make(made);
    const { tubes } = survey(made);
    expect(tubes[ODD].fault).toBe(fault);
    expect(tubes[ODD].because).toMatch(because);
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

  test('notes name the shots that are missing', () => {
    const made = healthy(seededRandom(12));
    made.swept = false;
    made.relative[ODD] = 0.5;
    const says = survey(made).notes.map((note) => note.says);
    expect(says.join()).toMatch(/without lamp shots.*no tube was lit alone/);
  });
});
