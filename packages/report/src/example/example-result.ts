import type { CellResult, Evidence, Fault, PairResult, Result } from '@twolamp/session';

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

const FAULTS: Record<string, { fault: Fault; relative: number; because: string }> = {
  '3/17': { fault: 'blocked', relative: 0.004, because: 'No more light than the sheet around it scatters.' },
  '3/18': { fault: 'blocked', relative: 0.007, because: 'No more light than the sheet around it scatters.' },
  '11/6': { fault: 'blocked', relative: 0.002, because: 'No more light than the sheet around it scatters.' },
  '20/29': { fault: 'blocked', relative: 0.011, because: 'No more light than the sheet around it scatters.' },
  '1/1': {
    fault: 'weak',
    relative: 0.61,
    because: 'Passes 39 % less than its neighbours, and points where they do: dirt or a dent.',
  },
  '7/22': {
    fault: 'weak',
    relative: 0.55,
    because: 'Passes 45 % less than its neighbours, and points where they do: dirt or a dent.',
  },
  '16/13': {
    fault: 'weak',
    relative: 0.7,
    because: 'Passes 30 % less than its neighbours, and points where they do: dirt or a dent.',
  },
  '22/4': {
    fault: 'weak',
    relative: 0.66,
    because: 'Passes 34 % less than its neighbours, and points where they do: dirt or a dent.',
  },
  '9/25': {
    fault: 'bent',
    relative: 0.81,
    because: 'Looks 2.1° aside, sees a third wider than its neighbours and passes less.',
  },
  '18/8': {
    fault: 'bent',
    relative: 0.77,
    because: 'Looks 2.6° aside, sees a third wider than its neighbours and passes less.',
  },
  '14/20': {
    fault: 'misaimed',
    relative: 0.97,
    because: 'Looks 0.9° aside with the width of its neighbours: its front end sits off its place.',
  },
  '5/10': { fault: 'leaky', relative: 1.03, because: '3.1 % of its light comes out of row 5, column 11.' },
  '12/1': {
    fault: 'open',
    relative: 3.4,
    because: 'Passes 3.4 times what its neighbours do: an empty hole.',
  },
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
    row,
    column,
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
          acceptanceWidthDeg: fault === 'bent' ? 2.2 : 1.62 + 0.08 * scatter(i, 4),
        }
      : null,
    bend: fault === 'bent' ? { bowMm: aside / 1.5, uncertaintyMm: 0.2 } : null,
    cureShiftMm: fault === 'misaimed' ? { across: -1.9, up: 1.4 } : null,
    crosstalk: tested
      ? {
          total: fault === 'leaky' ? 0.041 : 0.011 + 0.002 * scatter(i, 5),
          worst: {
            row,
            column: column < ARRAY.columns ? column + 1 : column - 1,
            share: fault === 'leaky' ? 0.031 : 0.004,
          },
        }
      : null,
    fault,
    because: special?.because ?? '',
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
    format: 'twolamp-result/1',
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
      predictedDistanceM: distanceM + 0.19,
      bound: 'within',
    },
    crosstalk: {
      tubesTested: cells.filter((cell) => cell.crosstalk !== null).length,
      meanTotal: 0.0125,
      kernel: [
        [0.0001, 0.0002, 0.0003, 0.0002, 0.0001],
        [0.0002, 0.0007, 0.0018, 0.0007, 0.0002],
        [0.0003, 0.0019, 0.9875, 0.0021, 0.0003],
        [0.0002, 0.0007, 0.0017, 0.0008, 0.0002],
        [0.0001, 0.0002, 0.0003, 0.0002, 0.0001],
      ],
    },
    pull: faulty
      .map(({ row, column, fault, transmission }) => ({
        row,
        column,
        fault,
        gain: (1 - transmission.relative!) / 5.5,
      }))
      .sort((a, b) => b.gain - a.gain),
    notes: [
      {
        about: 'pairs',
        says: 'All pairs lie side by side; pairs one above the other would tell of the rows.',
      },
    ],
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
    format: 'twolamp-evidence/1',
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
        const xFront = (cell.column - 15.5) * ARRAY.frontPitchMm;
        const yFront = (12.5 - cell.row) * ARRAY.frontPitchMm;
        return lamps.map((lamp) => {
          const across = (Math.atan((lamp.acrossMm - xFront) / lamp.distanceMm) * 180) / Math.PI;
          const up = (Math.atan((lamp.upMm - yFront) / lamp.distanceMm) * 180) / Math.PI;
          const off2 = (across - acrossDeg) ** 2 + (up - upDeg) ** 2;
          return (cell.transmission.relative ?? 0) * Math.exp(-off2 / (2 * sigma * sigma));
        });
      }),
    },
    pull: result.pull.map(({ gain }, i) => ({
      gainUncertainty: 0.03 / result.cells.length,
      dipGain: gain * (0.3 + 0.2 * scatter(i, 9)),
      dipGainUncertainty: 0.05 * gain,
    })),
  };
}
