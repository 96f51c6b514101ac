import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';

/** What is tried: walls, grid, faults, and how much is known of the array. */
export interface Variant {
  readonly arrangement: 'square' | 'hexagonal';
  readonly gloss: number;
  readonly faults: boolean;
  readonly sweep: boolean;
}

interface Size {
  readonly rows: number;
  readonly columns: number;
}

const LAMPS_MM = 2000;
const SCENE_MM = 1500;
/** The scene is so much wider than the field of the tubes. */
const SCENE_PER_FIELD = 1.25;
const LENGTH_MM = 150;
const BACK_PITCH_MM = 3;
/** Black tubes see narrowly: their axes, and the lamps of the sweep, lie closer together, so that none sees no lamp. */
const BLACK = { frontMm: 3.3, cellsPerLamp: 1.6 };
const GLOSSY = { frontMm: 3.6, cellsPerLamp: 2.5 };
const PITCH_PX = 27;
const FRAMING = 0.85;

/** A session of a variant with one scene beside it; the same seed gives the same array. */
export function sceneSession(variant: Variant, { rows, columns }: Size, seed: number): Plan {
  const { arrangement, gloss, faults, sweep } = variant;
  const { frontMm, cellsPerLamp } = gloss === 0 ? BLACK : GLOSSY;
  const axesMm = (distanceMm: number) => frontMm + (distanceMm * (frontMm - BACK_PITCH_MM)) / LENGTH_MM;
  const [across, up] = [columns, rows].map((cells) => Math.round(cells / cellsPerLamp) + 1);
  const lamps = Array.from({ length: across * up }, (_, n) => ({
    kind: 'lamp',
    across: `${((n % across) / (across - 1) - 0.5) * columns * axesMm(LAMPS_MM)} mm`,
    up: `${(0.5 - Math.floor(n / across) / (up - 1)) * rows * axesMm(LAMPS_MM)} mm`,
    distance: `${LAMPS_MM} mm`,
  }));
  const singles = [
    [0.3, 0.3],
    [0.5, 0.7],
    [0.7, 0.4],
    [0.4, 0.5],
  ].map(([down, right]) => ({
    kind: 'single',
    row: Math.round(down * rows),
    column: Math.round(right * columns),
  }));
  const cells = rows * columns;
  return planSchema.parse({
    format: PLAN_FORMAT,
    seed,
    array: {
      name: 'Preview bench',
      arrangement,
      ...(arrangement === 'hexagonal' ? { 'shifted-rows': 'even' } : {}),
      rows,
      columns,
      'tube-length': `${LENGTH_MM} mm`,
      'tube-bore': '2.6 mm',
      'back-pitch': `${BACK_PITCH_MM} mm`,
      'front-pitch': `${frontMm} mm`,
    },
    photo: {
      width: Math.round((columns * PITCH_PX) / FRAMING),
      height: Math.round((rows * PITCH_PX) / FRAMING),
    },
    camera: {
      framing: FRAMING,
      tilt: '3 deg',
      turn: '-2 deg',
      distortion: 0.02,
      vignetting: 0.1,
      'longest-exposure': '4 s',
      'drift-px': 0.1,
    },
    sheet: { core: '0.15 mm', 'halo-share': 0.05 },
    light: { unevenness: 0.1, 'room-lux': 0.005 },
    lamp: { diameter: '8 mm', candela: 60 },
    build: {
      wall: { index: 1.5, extinction: 0, gloss },
      'placement-jitter': '0.05 mm',
      'pointing-jitter': '0.08 deg',
      'transmission-scatter': 0.04,
      'outline-bulge': '0.5 mm',
      crosstalk: 0.015,
      'crosstalk-scatter': 0.2,
    },
    faults: faults
      ? {
          blocked: Math.round(0.025 * cells),
          weak: Math.round(0.02 * cells),
          open: 1,
          bent: Math.round(0.0125 * cells),
          misaimed: Math.round(0.0125 * cells),
          shift: ['1 mm', '2 mm'],
          leaky: 2,
        }
      : {},
    shots: [
      { kind: 'dark' },
      { kind: 'even', repeats: 2 },
      { kind: 'bare' },
      ...(sweep ? [...lamps, ...singles] : []),
    ],
    scenes: [
      {
        picture: 'picture.png',
        photo: 'scene.jpg',
        width: `${SCENE_PER_FIELD * columns * axesMm(SCENE_MM)} mm`,
        distance: `${SCENE_MM} mm`,
      },
    ],
  });
}
