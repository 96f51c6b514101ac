import {
  type CellResult,
  EVIDENCE_FORMAT,
  type Evidence,
  type Fault,
  finding,
  type PairResult,
  type Reason,
  RESULT_FORMAT,
  type Result,
  reason,
} from '@twolamp/session';

/** Geometry of the made-up array: axes meet 375 mm behind the sheet, the front face is 525 mm before that point. */
const ARRAY = {
  name: 'Willow screen, second build',
  arrangement: 'square',
  rows: 24,
  columns: 30,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
} as const satisfies Result['array'];
const APEX_TO_FRONT_MM = 525;
const SPACING_MM = 60;
/** Width of one lamp's light on the sheet as a standard deviation, in cells. */
const SPREAD_SIGMA = 1.05;
const REQUIRED_DIP = 0.265;

const blocked = (relative: number) => ({
  fault: 'blocked' as const,
  relative,
  reason: reason('hardly-any-light', { share: relative, lit: false }),
});
const weak = (relative: number) => ({
  fault: 'weak' as const,
  relative,
  reason: reason('dim', { share: relative, pointing: 'where it should' }),
});
const bent = (relative: number) => ({
  fault: 'bent' as const,
  relative,
  reason: reason('aside-and-changed', {
    acrossDeg: 1.84,
    upDeg: -1.38,
    totalDeg: 2.3,
    share: relative,
    bowMm: 1.5,
    widthRatio: 1.33,
    ownShape: false,
  }),
});

const FAULTS: Record<string, { fault: Fault; relative: number; reason: Reason }> = {
  '3/17': blocked(0.004),
  '3/18': blocked(0.007),
  '11/6': blocked(0.002),
  '20/29': blocked(0.011),
  '1/1': weak(0.61),
  '7/22': weak(0.55),
  '16/13': weak(0.7),
  '22/4': weak(0.66),
  '9/25': bent(0.81),
  '18/8': bent(0.77),
  '14/20': {
    fault: 'misaimed',
    relative: 0.97,
    reason: reason('looks-aside', {
      acrossDeg: 0.72,
      upDeg: -0.54,
      totalDeg: 0.9,
      shiftMm: 2.4,
      bowMm: null,
    }),
  },
  '5/10': {
    fault: 'leaky',
    relative: 1.03,
    reason: reason('leaks-into', { to: { cell: 131, row: 5, column: 11 }, toShare: 0.031, total: 0.041 }),
  },
  '12/1': { fault: 'open', relative: 3.4, reason: reason('open', { share: 3.4 }) },
};

/** Repeatable scatter between -1 and 1: the fractional part of a sine, no statistics asked of it. */
function scatter(i: number, salt: number): number {
  const x = Math.sin(i * 12.9898 + salt * 78.233) * 43758.5453;
  return 2 * (x - Math.floor(x)) - 1;
}

function cellAt(row: number, column: number): CellResult {
  const i = (row - 1) * ARRAY.columns + column - 1;
  const special = FAULTS[`${row}/${column}`];
  const fault = special?.fault ?? 'none';
  const relative = special?.relative ?? 1 + 0.035 * scatter(i, 1) + 0.02 * Math.cos(row / 5);
  const seen = fault !== 'blocked';
  const across = Math.atan(((ARRAY.frontPitchMm - ARRAY.backPitchMm) * (column - 15.5)) / ARRAY.tubeLengthMm);
  const up = Math.atan(((ARRAY.frontPitchMm - ARRAY.backPitchMm) * (12.5 - row)) / ARRAY.tubeLengthMm);
  const aside = fault === 'bent' ? 2.3 : fault === 'misaimed' ? 0.9 : 0;
  const offAcross = aside * 0.8 + 0.05 * scatter(i, 2);
  const offUp = aside * -0.6 + 0.05 * scatter(i, 3);
  const tested = (row * 7 + column * 3) % 41 === 0 || fault === 'leaky';
  return {
    cell: i + 1,
    row,
    column,
    atMm: { across: ARRAY.backPitchMm * (column - 15.5), up: ARRAY.backPitchMm * (12.5 - row) },
    state: 'filled',
    xPx: 420 + 108 * (column - 1) + 2.4 * row,
    yPx: 300 + 107 * (row - 1) - 1.7 * column,
    seen,
    transmission: {
      relative,
      relativeUncertainty: 0.006,
      absolute: relative * 3.1e-4,
      absoluteUncertainty: 4e-6,
    },
    pointing: seen
      ? {
          acrossDeg: (across * 180) / Math.PI + offAcross,
          upDeg: (up * 180) / Math.PI + offUp,
          uncertaintyDeg: 0.03,
          errorDeg: Math.hypot(offAcross, offUp),
          errorUncertaintyDeg: 0.03,
          acceptanceWidthDeg: fault === 'bent' ? 2.2 : 1.62 + 0.08 * scatter(i, 4),
          acceptanceWidthUncertaintyDeg: 0.03,
        }
      : null,
    bend: fault === 'bent' ? { bowMm: aside / 1.5, uncertaintyMm: 0.2 } : null,
    cureShiftMm: fault === 'misaimed' ? { across: -1.9, up: 1.4, uncertainty: 0.08 } : null,
    crosstalk: tested
      ? {
          total: fault === 'leaky' ? 0.041 : 0.011 + 0.002 * scatter(i, 5),
          totalUncertainty: 0.0009,
          worst: {
            cell: column < ARRAY.columns ? i + 2 : i,
            row,
            column: column < ARRAY.columns ? column + 1 : column - 1,
            share: fault === 'leaky' ? 0.031 : 0.004,
            shareUncertainty: 0.0004,
          },
        }
      : null,
    fault,
    reasons: special === undefined ? [] : [special.reason],
  };
}

/** Cells between the images of two lamps: s (L + A) / ((D + L + A) · front pitch). */
function separationCells(distanceMm: number): number {
  return (SPACING_MM * APEX_TO_FRONT_MM) / ((distanceMm + APEX_TO_FRONT_MM) * ARRAY.frontPitchMm);
}

function twoLamps(offset: number, separation: number): number {
  const one = (x: number) => Math.exp(-(x * x) / (2 * SPREAD_SIGMA * SPREAD_SIGMA));
  return one(offset - separation / 2) + one(offset + separation / 2);
}

/** Dip of two equal Gaussian spots; their peaks are found by fine steps. */
function dipAt(distanceMm: number): number {
  const separation = separationCells(distanceMm);
  let peak = 0;
  for (let x = 0; x <= separation; x += 0.002) peak = Math.max(peak, twoLamps(x, separation));
  return 1 - twoLamps(0, separation) / peak;
}

function crossingMm(): number {
  let low = 500;
  let high = 10_000;
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (dipAt(middle) > REQUIRED_DIP) low = middle;
    else high = middle;
  }
  return low;
}

const DISTANCES_M = [1.0, 1.4, 1.8, 2.2, 2.6, 3.2];
const NUDGES = [0, 1, 2];

function examplePairs(): PairResult[] {
  return DISTANCES_M.flatMap((distanceM, i) =>
    NUDGES.map((nudge) => {
      const dip = Math.max(0, dipAt(distanceM * 1000) + 0.02 * scatter(i * 3 + nudge, 6));
      return {
        photo: `pair-${String(i * 3 + nudge + 1).padStart(2, '0')}.jpg`,
        distanceM,
        spacingM: SPACING_MM / 1000,
        turnedDeg: 0,
        separationCells: separationCells(distanceM * 1000) + 0.02 * scatter(i * 3 + nudge, 7),
        separationUncertainty: 0.02,
        dip,
        dipUncertainty: 0.015,
        separate: dip >= REQUIRED_DIP,
      };
    }),
  );
}

/** A made-up result of a 24 × 30 array: every kind of fault, six pair distances with three nudges, all shots at hand. */
export function exampleResult(): Result {
  const cells: CellResult[] = [];
  for (let row = 1; row <= ARRAY.rows; row++) {
    for (let column = 1; column <= ARRAY.columns; column++) cells.push(cellAt(row, column));
  }
  const distanceM = crossingMm() / 1000;
  const faulty = cells.filter(
    (cell) => cell.fault !== 'none' && cell.fault !== 'open' && cell.fault !== 'leaky',
  );
  return {
    format: RESULT_FORMAT,
    made: null,
    array: ARRAY,
    cells,
    pairs: examplePairs(),
    resolving: {
      criterion: 'rayleigh',
      requiredDip: REQUIRED_DIP,
      spacingM: SPACING_MM / 1000,
      distanceM,
      lowM: distanceM - 0.06,
      highM: distanceM + 0.07,
      confidence: 0.95,
      angleDeg: (Math.atan(SPACING_MM / (distanceM * 1000)) * 180) / Math.PI,
      angleLowDeg: (Math.atan(SPACING_MM / (distanceM * 1000 + 70)) * 180) / Math.PI,
      angleHighDeg: (Math.atan(SPACING_MM / (distanceM * 1000 - 60)) * 180) / Math.PI,
      predictedDistanceM: distanceM + 0.19,
      predictedDistanceUncertaintyM: 0.03,
      bound: 'within',
    },
    crosstalk: {
      tubesTested: cells.filter((cell) => cell.crosstalk !== null).length,
      meanTotal: 0.0125,
      meanTotalUncertainty: 0.0009,
      kernelUncertainty: Array.from({ length: 5 }, () => new Array<number>(5).fill(0.0002)),
      kernel: [
        [0.0001, 0.0002, 0.0003, 0.0002, 0.0001],
        [0.0002, 0.0007, 0.0018, 0.0007, 0.0002],
        [0.0003, 0.0019, 0.9875, 0.0021, 0.0003],
        [0.0002, 0.0007, 0.0017, 0.0008, 0.0002],
        [0.0001, 0.0002, 0.0003, 0.0002, 0.0001],
      ],
    },
    pull: faulty
      .map(({ cell, row, column, fault, transmission }, i) => {
        const gain = (1 - transmission.relative!) / 5.5;
        return {
          cell,
          row,
          column,
          fault,
          gain,
          gainUncertainty: 0.03 / cells.length,
          dipGain: gain * (0.3 + 0.2 * scatter(i, 9)),
          dipGainUncertainty: 0.05 * gain,
        };
      })
      .sort((a, b) => b.gain - a.gain),
    repairs: [1, 5, faulty.length].map((tubes) => ({
      tubes,
      light: 0.0014 * tubes,
      lightUncertainty: 0.0002 * Math.sqrt(tubes),
      dip: 0.0012 * tubes,
      dipUncertainty: 0.0002 * tubes,
      fartherM: 0.0047 * tubes,
      fartherUncertaintyM: 0.0008 * tubes,
    })),
    wall: { gloss: 0.29, uncertainty: 0.02, index: 1.5, extinction: 0 },
    findings: [finding('lamps-far-apart', 'pointing', { spacingDeg: 1.9, widthDeg: 1.62 })],
    photos: [
      {
        photo: 'dark.jpg',
        kind: 'dark',
        widthPx: 4032,
        heightPx: 3024,
        exposureS: 0.125,
        iso: 100,
        clippedShare: 0,
        driftPx: null,
      },
      {
        photo: 'even.jpg',
        kind: 'even',
        widthPx: 4032,
        heightPx: 3024,
        exposureS: 0.125,
        iso: 100,
        clippedShare: 0,
        driftPx: [0, 0],
      },
      {
        photo: 'bare.jpg',
        kind: 'bare',
        widthPx: 4032,
        heightPx: 3024,
        exposureS: 0.002,
        iso: 100,
        clippedShare: 0.0004,
        driftPx: [0.1, -0.2],
      },
      ...examplePairs().map(({ photo }) => ({
        photo,
        kind: 'pair' as const,
        widthPx: 4032,
        heightPx: 3024,
        exposureS: 2,
        iso: 100,
        clippedShare: 0,
        driftPx: [0.3, 0.1] as [number, number],
      })),
    ],
  };
}

/**
 * Evidence to go with {@link exampleResult}.
 * @param jpeg - data address of a picture of the even shot, 1008 × 756 pixels
 */
export function exampleEvidence(jpeg: string): Evidence {
  const result = exampleResult();
  const distanceM = Array.from({ length: 47 }, (_, i) => 0.9 + i * 0.05);
  const dip = distanceM.map((d) => dipAt(d * 1000));
  const offsetCells = Array.from({ length: 49 }, (_, i) => (i - 24) / 4);
  const lamps = [-400, -300, -200, -100, 0, 100, 200, 300, 400].flatMap((acrossMm) =>
    [-300, -200, -100, 0, 100, 200, 300].map((upMm) => ({ acrossMm, upMm, distanceMm: 1800 })),
  );
  return {
    format: EVIDENCE_FORMAT,
    picture: { photo: 'even.jpg', jpeg, widthPx: 1008, heightPx: 756, scale: 4 },
    pitchPx: 107.5,
    dipCurve: {
      distanceM,
      dip,
      lowDip: dip.map((value) => Math.max(0, value - 0.018)),
      highDip: dip.map((value) => value + 0.018),
    },
    profiles: result.pairs.map((pair, i) => {
      const model = offsetCells.map((x) => twoLamps(x, separationCells(pair.distanceM * 1000)));
      const top = Math.max(...model);
      return {
        photo: pair.photo,
        offsetCells,
        model: model.map((value) => value / top),
        measured: model.map((value, k) => Math.max(0, value / top + 0.015 * scatter(i * 49 + k, 8))),
      };
    }),
    sweep: {
      lamps,
      response: result.cells.map((cell) => {
        if (cell.pointing === null) return lamps.map(() => null);
        const { acrossDeg, upDeg, acceptanceWidthDeg } = cell.pointing;
        const sigma = acceptanceWidthDeg! / 2.355;
        const xFront = (cell.column! - 15.5) * ARRAY.frontPitchMm;
        const yFront = (12.5 - cell.row!) * ARRAY.frontPitchMm;
        return lamps.map((lamp) => {
          const across = (Math.atan((lamp.acrossMm - xFront) / lamp.distanceMm) * 180) / Math.PI;
          const up = (Math.atan((lamp.upMm - yFront) / lamp.distanceMm) * 180) / Math.PI;
          const off2 = (across - acrossDeg) ** 2 + (up - upDeg) ** 2;
          return (cell.transmission.relative ?? 0) * Math.exp(-off2 / (2 * sigma * sigma));
        });
      }),
    },
  };
}
