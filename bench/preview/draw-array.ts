import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';

/** What is tried: walls, grid, faults, and how much is known of the array. */
export interface Variant {
  readonly arrangement: 'square' | 'hexagonal';
  readonly gloss: number;
  readonly faults: boolean;
  readonly sweep: boolean;
}

export const SCENE = { picture: 'picture.png', photo: 'scene.jpg', widthMm: 300, distanceMm: 1500 };

const ROWS = 16;
const COLUMNS = 20;
const LAMPS_MM = 2000;
/** Black tubes see narrowly: their axes lie closer together, so that no tube lies between the lamps of the sweep. */
const FRONT_PITCH_MM = { black: 3.3, glossy: 3.6 };
const LENGTH_MM = 150;
const BACK_PITCH_MM = 3;

/** A session of a variant with one scene beside it; the same number draws the same array. */
export function sceneSession({ arrangement, gloss, faults, sweep }: Variant, seed: number): Plan {
  const frontMm = gloss < 0.1 ? FRONT_PITCH_MM.black : FRONT_PITCH_MM.glossy;
  const axesMm = frontMm + (LAMPS_MM * (frontMm - BACK_PITCH_MM)) / LENGTH_MM;
  const [across, up] = gloss < 0.1 ? [13, 11] : [9, 7];
  const lamps = Array.from({ length: across * up }, (_, n) => ({
    kind: 'lamp',
    across: `${((n % across) / (across - 1) - 0.5) * COLUMNS * axesMm} mm`,
    up: `${(0.5 - Math.floor(n / across) / (up - 1)) * ROWS * axesMm} mm`,
    distance: `${LAMPS_MM} mm`,
  }));
  const singles = [
    [4, 5],
    [8, 15],
    [12, 9],
    [6, 11],
  ].map(([row, column]) => ({ kind: 'single', row, column }));
  return planSchema.parse({
    format: PLAN_FORMAT,
    seed,
    array: {
      name: 'Preview bench',
      arrangement,
      ...(arrangement === 'hexagonal' ? { 'shifted-rows': 'even' } : {}),
      rows: ROWS,
      columns: COLUMNS,
      'tube-length': `${LENGTH_MM} mm`,
      'tube-bore': '2.6 mm',
      'back-pitch': `${BACK_PITCH_MM} mm`,
      'front-pitch': `${frontMm} mm`,
    },
    photo: { width: 640, height: 520 },
    camera: {
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
      ? { blocked: 8, weak: 6, open: 1, bent: 4, misaimed: 4, shift: ['1 mm', '2 mm'], leaky: 2 }
      : {},
    shots: [
      { kind: 'dark' },
      { kind: 'even', repeats: 2 },
      { kind: 'bare' },
      ...(sweep ? [...lamps, ...singles] : []),
    ],
    scenes: [
      {
        picture: SCENE.picture,
        photo: SCENE.photo,
        width: `${SCENE.widthMm} mm`,
        distance: `${SCENE.distanceMm} mm`,
      },
    ],
  });
}
