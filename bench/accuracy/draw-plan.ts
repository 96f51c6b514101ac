import {
  acceptanceByDistance,
  axisSpacingMm,
  type Random,
  resolvingDistance,
  seededRandom,
  type Wall,
} from '@twolamp/optics';
import { arrayInput } from '@twolamp/session';
import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';

/** How much is drawn: small sessions for a quick look, or the whole range. */
export type Form = 'short' | 'long';

/** A session to make and measure. */
export interface Drawn {
  readonly plan: Plan;
  /** Square on, sharp, little noise; the others have tilt, bulge, distortion, clusters, one-sided light and noise. */
  readonly clean: boolean;
  readonly pitchPx: number;
  /** With 9 × 7 lamps and single tubes, so that every fault can be told. */
  readonly sweep: boolean;
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;
/** Pixels a pitch where lamps are shot, in up to 100 photos, and in sessions of even light alone. */
const PITCH_PX = { lamps: [8, 20], evenLight: [20, 80] } as const;
const LENGTH_MM = 150;
const BORE_MM = 2.6;
const PITCH_MM = 3;
const MOST_FRONT_MM = 4.4;
const LAMPS_MM = 2500;
const NEAREST_MM = 1200;
const SWEEP = { columns: 9, rows: 7 };
const PAIR_STEPS = 7;

const mm = (value: number): string => `${value.toFixed(3)} mm`;
const deg = (value: number): string => `${value.toFixed(3)} deg`;

/** Draws of one seeded generator. */
export class Draw {
  constructor(private readonly random: Random) {}
  between(low: number, high: number): number {
    return low + (high - low) * this.random.uniform();
  }
  /** Evenly in the logarithm. */
  ratio(low: number, high: number): number {
    return low * (high / low) ** this.random.uniform();
  }
  whole(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1));
  }
  sign(): number {
    return this.random.uniform() < 0.5 ? -1 : 1;
  }
  oneOf<T>(values: readonly T[]): T {
    return values[this.whole(0, values.length - 1)];
  }
}

/**
 * Session number `index` of the range; the same number gives the same session.
 *
 * Every third is clean, every second has a sweep; in the long form every fifth has large photos of even light alone, and
 * arrays are larger. Pitches are spread evenly in their ratio.
 */
export function drawPlan(index: number, form: Form): Drawn {
  const draw = new Draw(seededRandom(7_000 + index));
  const clean = index % 3 === 0;
  const evenOnly = form === 'long' && index % 5 === 4;
  const [least, most] = evenOnly ? PITCH_PX.evenLight : PITCH_PX.lamps;
  const pitchPx = least * (most / least) ** ((index * GOLDEN) % 1);
  const sweep = !evenOnly && index % 2 === 0;
  const [rows, columns] =
    form === 'short' ? [draw.whole(9, 11), draw.whole(10, 13)] : [draw.whole(11, 15), draw.whole(13, 19)];

  const gloss = index % 5 === 0 ? 0 : draw.between(0.1, 0.6);
  const wall: Wall =
    gloss === 0 ? { index: 1.5, extinction: 0, gloss: 0, diffuse: 0 } : { index: 1.5, extinction: 0, gloss };
  const size = { name: `Bench panel ${index}`, rows, columns };
  const { array, spacingMm } = drawArray(draw, size, wall, sweep);

  return {
    clean,
    pitchPx,
    sweep,
    plan: planSchema.parse({
      format: PLAN_FORMAT,
      seed: 7_000 + index,
      array,
      photo: { ...photoSize(rows, columns, pitchPx), ...drawFile(draw) },
      camera: drawCamera(draw, clean, pitchPx),
      sheet: {
        core: mm(draw.between(0.1, clean ? 0.2 : 0.28)),
        'halo-share': draw.between(0, clean ? 0.06 : 0.1),
        'halo-scale': mm(draw.between(1.5, 4)),
        margin: '6 mm',
      },
      light: {
        'even-lux': 6000,
        unevenness: draw.between(0, clean ? 0.1 : 0.35),
        'room-lux': draw.ratio(0.002, clean ? 0.01 : 0.1),
      },
      lamp: { diameter: mm(draw.between(4, 10)), candela: 60 },
      build: {
        wall,
        'placement-jitter': mm(draw.between(0.03, clean ? 0.06 : 0.1)),
        'pointing-jitter': deg(draw.between(0.02, 0.08)),
        'transmission-scatter': draw.between(0.02, 0.04),
        'outline-bulge': mm(draw.between(0, clean ? 0.3 : 1.3)),
        crosstalk: draw.between(0.003, 0.015),
        'crosstalk-scatter': 0.2,
      },
      faults: drawFaults(draw, rows, columns, clean, sweep),
      shots: drawShots(draw, array, spacingMm, sweep, evenOnly),
    }),
  };
}

interface Size {
  readonly name: string;
  readonly rows: number;
  readonly columns: number;
}

/** An array whose tubes overlap in what they see, and a spacing of lamps that merges at some 2.5 m. */
export function drawArray(draw: Draw, size: Size, wall: Wall, sweep: boolean) {
  const arrangement = draw.oneOf(['square', 'square', 'hexagonal']);
  const stated = (frontMm: number) => ({
    ...size,
    arrangement,
    ...(arrangement === 'hexagonal' ? { 'shifted-rows': draw.oneOf(['odd', 'even']) } : {}),
    'tube-length': mm(LENGTH_MM),
    'tube-bore': mm(BORE_MM),
    'back-pitch': mm(PITCH_MM),
    'front-pitch': mm(frontMm),
  });
  const acceptanceAt = acceptanceByDistance(
    { boreMm: BORE_MM, lengthMm: LENGTH_MM },
    wall,
    seededRandom(1),
    NEAREST_MM / 2,
  );
  // A sweep of 9 × 7 lamps must reach all tubes in steps of half their width; else a lamp covers 1.3 to 3 cells.
  const reached = Math.max(size.columns / (SWEEP.columns - 1), size.rows / (SWEEP.rows - 1));
  const spreadCells = draw.between(1.3, 3) * (sweep ? Math.max(1, reached) : 1);
  const { widthRad } = acceptanceAt(LAMPS_MM);
  const frontMm = Math.min(
    MOST_FRONT_MM,
    Math.max(PITCH_MM, (widthRad / spreadCells + PITCH_MM / LENGTH_MM) / (1 / LENGTH_MM + 1 / LAMPS_MM)),
  );
  const array = stated(frontMm);
  const geometry = arrayInput.parse(array);
  const trial = 60;
  const { distanceMm } = resolvingDistance(geometry, acceptanceAt, trial, 0.265, NEAREST_MM / 2, 20_000);
  const spacingMm = Math.max(10, Math.round((trial * LAMPS_MM) / distanceMm));
  return { array, spacingMm };
}

/** The cells fill most of the photo, whatever the tilt. */
const FRAMING = 0.78;

function photoSize(rows: number, columns: number, pitchPx: number) {
  return {
    width: Math.round(((columns + 1) * pitchPx) / FRAMING),
    height: Math.round(((rows + 0.5) * pitchPx) / FRAMING),
  };
}

function drawFile(draw: Draw) {
  return draw.oneOf([
    { format: 'jpeg', quality: draw.whole(85, 96) },
    {
      format: 'jpeg',
      quality: draw.whole(85, 96),
      tint: [1, 0.96, 0.88],
      orientation: draw.oneOf([1, 3, 6, 8]),
    },
    { format: 'png8' },
    { format: 'png16', tone: draw.oneOf(['srgb', 'linear']) },
  ]);
}

function drawCamera(draw: Draw, clean: boolean, pitchPx: number) {
  const tilted = clean ? draw.between(0, 1.5) : draw.between(2, 6);
  const way = draw.between(0, 2 * Math.PI);
  return {
    distance: mm(draw.between(180, 400)),
    framing: FRAMING,
    tilt: deg(tilted * Math.cos(way)),
    turn: deg(tilted * Math.sin(way)),
    roll: deg(draw.between(-1, 1) * (clean ? 1 : 6)),
    distortion: draw.between(-1, 1) * (clean ? 0.01 : 0.05),
    vignetting: draw.between(0, clean ? 0.15 : 0.35),
    'blur-px': Math.max(0.45, pitchPx * draw.between(0.02, clean ? 0.03 : 0.05)),
    'full-well': draw.ratio(clean ? 8_000 : 3_000, 30_000),
    'read-noise': draw.between(2, 5),
    offset: draw.oneOf([0, 0, 0.01]),
    'longest-exposure': '4 s',
    'drift-px': pitchPx * draw.between(0, 0.006),
  };
}

function drawFaults(draw: Draw, rows: number, columns: number, clean: boolean, sweep: boolean) {
  const cells = rows * columns;
  const share = clean ? draw.between(0, 0.04) : draw.between(0.04, 0.15);
  const clusterSize = clean ? 3 : draw.whole(4, 7);
  const clusters = clean ? 0 : Math.floor((0.6 * share * cells) / clusterSize);
  // A dead corner: two by three tubes.
  const corner =
    clean || draw.between(0, 1) < 0.5
      ? []
      : [0, 1, 2, 3, 4, 5].map((n) => ({
          fault: 'blocked',
          row: rows - Math.floor(n / 3),
          column: columns - (n % 3),
        }));
  return {
    list: corner,
    blocked: Math.round(share * cells * (clean ? 1 : 0.4)),
    'blocked-clusters': clusters,
    'cluster-size': clusterSize,
    weak: draw.whole(2, 5),
    'weak-transmission': [0.35, 0.8],
    open: draw.whole(0, 1),
    ...(sweep
      ? {
          bent: draw.whole(1, 3),
          bow: ['1 mm', '2.2 mm'],
          misaimed: draw.whole(1, 3),
          shift: ['1 mm', '2 mm'],
        }
      : {}),
    leaky: sweep ? 2 : 0,
    'leak-share': [0.06, 0.2],
  };
}

function drawShots(
  draw: Draw,
  array: ReturnType<typeof drawArray>['array'],
  spacingMm: number,
  sweep: boolean,
  evenOnly: boolean,
) {
  const geometry = arrayInput.parse(array);
  const { rows, columns } = geometry;
  const perCell = axisSpacingMm(geometry, LAMPS_MM);
  const halfAcross = (columns / 2) * perCell;
  const halfUp = (rows / 2) * perCell;
  const lamps = (across: number, up: number) =>
    Array.from({ length: across * up }, (_, n) => ({
      kind: 'lamp',
      across: mm(halfAcross * ((2 * (n % across)) / (across - 1) - 1)),
      up: mm(halfUp * (1 - (2 * Math.floor(n / across)) / (up - 1))),
      distance: mm(LAMPS_MM),
    }));
  const pairs = Array.from({ length: PAIR_STEPS * 3 }, (_, n) => {
    const distanceMm =
      10 * Math.round((LAMPS_MM / 10) * 0.62 * 2.4 ** (Math.floor(n / 3) / (PAIR_STEPS - 1)));
    const cell = axisSpacingMm(geometry, distanceMm);
    return {
      kind: 'pair',
      spacing: mm(spacingMm),
      distance: mm(distanceMm),
      across: `${Math.round(cell * ((n % 3) / 3 - 0.33 + draw.between(-0.1, 0.1)))} mm`,
      up: `${Math.round(cell * draw.between(-0.4, 0.4))} mm`,
    };
  });
  const singles = new Map<string, unknown>();
  while (sweep && singles.size < 6) {
    const [row, column] = [draw.whole(2, rows - 1), draw.whole(2, columns - 1)];
    singles.set(`${row} ${column}`, { kind: 'single', row, column });
  }
  const even = [
    { kind: 'dark' },
    { kind: 'even', repeats: draw.whole(1, 2) },
    ...(draw.between(0, 1) < 0.5 ? [{ kind: 'bare' }] : []),
  ];
  if (evenOnly) return even;
  return [
    ...even,
    ...(sweep ? lamps(SWEEP.columns, SWEEP.rows) : lamps(3, 3)),
    ...pairs,
    ...singles.values(),
  ];
}
