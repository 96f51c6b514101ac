import { axisSpacingMm, seededRandom } from '@twolamp/optics';
import type { Rebuild } from '@twolamp/preview';
import { type ArraySpec, arrayInput } from '@twolamp/session';
import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';
import { Draw, drawArray } from '../accuracy/draw-plan.js';

/** A half-built array, the same one with a tube in every hole, and what its builder could build instead. */
export interface WeighingCase {
  readonly halfBuilt: Plan;
  readonly finished: Plan;
  readonly rebuilds: readonly {
    readonly name: string;
    readonly rebuild: Rebuild;
    /** Without pictures worth measuring: for its truth alone. */
    readonly plan: Plan;
  }[];
}

const FILLED = 0.58;
const LAMPS_MM = 2000;
const SWEEP = { columns: 7, rows: 5 };
const PAIR_DISTANCES = [0.65, 0.82, 1, 1.22, 1.5, 1.85];
const DEG_PER_RAD = 180 / Math.PI;

const mm = (value: number): string => `${value.toFixed(3)} mm`;

/** Full rows from the top, one ragged row, empty rows below. */
function mapOf(rows: number, columns: number): string {
  const filled = Math.round(FILLED * rows * columns);
  return Array.from({ length: rows }, (_, row) => {
    const here = Math.max(0, Math.min(columns, filled - row * columns));
    return '#'.repeat(here) + 'o'.repeat(columns - here);
  }).join('\n');
}

/** Lamps and pairs before the rows that have tubes. */
function drawShots(draw: Draw, array: ArraySpec, spacingMm: number, pairMm: number) {
  const { rows, columns } = array;
  const perCell = axisSpacingMm(array, LAMPS_MM);
  const middleRows = ((1 - FILLED) / 2) * rows;
  const lamps = Array.from({ length: SWEEP.columns * SWEEP.rows }, (_, n) => {
    const across = ((n % SWEEP.columns) / (SWEEP.columns - 1) - 0.5) * columns;
    const up = middleRows + (0.5 - Math.floor(n / SWEEP.columns) / (SWEEP.rows - 1)) * FILLED * rows;
    return {
      kind: 'lamp',
      across: mm(across * perCell),
      up: mm(up * perCell),
      distance: mm(LAMPS_MM),
    };
  });
  const pairs = PAIR_DISTANCES.flatMap((share) => {
    const distanceMm = pairMm * share;
    const cell = axisSpacingMm(array, distanceMm);
    return [0, 1].map(() => ({
      kind: 'pair',
      spacing: mm(spacingMm),
      distance: mm(distanceMm),
      across: mm(cell * draw.between(-0.5, 0.5)),
      up: mm(cell * (middleRows + draw.between(-0.5, 0.5))),
    }));
  });
  return [{ kind: 'dark' }, { kind: 'even', repeats: 2 }, { kind: 'bare' }, ...lamps, ...pairs];
}

/** Case number `index`; the same number gives the same case. Every fifth array has black walls. */
export function drawWeighing(index: number): WeighingCase {
  const seed = 90_000 + index;
  const draw = new Draw(seededRandom(seed));
  const wall = { index: 1.5, extinction: 0, gloss: index % 5 === 4 ? 0 : draw.between(0.1, 0.6) };
  const [rows, columns] = [draw.whole(14, 18), draw.whole(14, 18)];
  const drawn = drawArray(draw, { name: `Bench panel ${index}`, rows, columns }, wall, false);
  const stated = { ...drawn.array, unfilled: draw.oneOf(['covered', 'open']) };
  const array = arrayInput.parse(stated);
  const pitchPx = draw.ratio(12, 20);
  // The drawn spacing merges at some 2.5 m.
  const pairMm = 2500;
  const pointingMm = draw.between(0.1, 0.4);
  const build = {
    wall,
    'placement-jitter': mm(draw.between(0.03, 0.08)),
    'transmission-scatter': draw.between(0.02, 0.04),
    crosstalk: draw.between(0.003, 0.01),
  };
  /** Ends are misplaced by as much in tubes of any length. */
  const jitter = (lengthMm: number) => `${Math.atan(pointingMm / lengthMm) * DEG_PER_RAD} deg`;
  const common = {
    format: PLAN_FORMAT,
    seed,
    photo: {
      width: Math.round(((columns + 1) * pitchPx) / 0.78),
      height: Math.round(((rows + 0.5) * pitchPx) / 0.78),
    },
    camera: {
      framing: 0.78,
      tilt: `${draw.between(-3, 3)} deg`,
      turn: `${draw.between(-3, 3)} deg`,
      vignetting: draw.between(0, 0.2),
      'blur-px': 0.8,
      'longest-exposure': '4 s',
    },
    sheet: { core: mm(0.15), 'halo-share': draw.between(0, 0.06) },
    light: { unevenness: draw.between(0, 0.15), 'room-lux': 0.005 },
    lamp: { diameter: mm(draw.between(4, 10)), candela: 60 },
    build: { ...build, 'pointing-jitter': jitter(array.tubeLengthMm) },
    faults: { blocked: 3, weak: 3 },
    shots: drawShots(draw, array, drawn.spacingMm, pairMm),
  };
  const rebuilds = (
    [
      ['shorter', { lengthMm: array.tubeLengthMm * draw.between(0.6, 0.85) }],
      ['longer', { lengthMm: array.tubeLengthMm * draw.between(1.2, 1.6) }],
      ['narrower', { boreMm: array.tubeBoreMm * draw.between(0.6, 0.85) }],
      ['wider', { boreMm: array.tubeBoreMm * draw.between(1.2, 1.6) }],
      [
        'finer fan',
        {
          frontPitchMm: array.backPitchMm + (array.frontPitchMm - array.backPitchMm) * draw.between(0.5, 0.9),
        },
      ],
      ['matte', { matteWalls: true }],
      ['matte and longer', { matteWalls: true, lengthMm: array.tubeLengthMm * draw.between(1.2, 1.6) }],
    ] satisfies [string, Rebuild][]
  ).map(([name, rebuild]: [string, Rebuild]) => {
    const bore = rebuild.boreMm ?? array.tubeBoreMm;
    const length = rebuild.lengthMm ?? array.tubeLengthMm;
    const wider = bore - array.tubeBoreMm;
    return {
      name,
      rebuild,
      plan: planSchema.parse({
        ...common,
        array: {
          ...stated,
          'tube-bore': mm(bore),
          'tube-length': mm(length),
          'back-pitch': mm(array.backPitchMm + wider),
          'front-pitch': mm(rebuild.frontPitchMm ?? array.frontPitchMm + wider),
        },
        photo: { width: 64, height: 64 },
        build: {
          ...build,
          wall: rebuild.matteWalls ? { ...wall, gloss: 0 } : wall,
          'pointing-jitter': jitter(length),
        },
        shots: [{ kind: 'even' }, { kind: 'pair', spacing: mm(drawn.spacingMm), distance: mm(pairMm) }],
      }),
    };
  });
  return {
    halfBuilt: planSchema.parse({ ...common, array: { ...stated, map: mapOf(rows, columns) } }),
    finished: planSchema.parse({ ...common, array: stated }),
    rebuilds,
  };
}
