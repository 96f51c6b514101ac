import { axisSpacingMm, seededRandom } from '@twolamp/optics';
import { type ArraySpec, arrayInput } from '@twolamp/session';
import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';
import { Draw, drawArray } from '../accuracy/draw-plan.js';

/** Two sessions of one array. */
export interface SessionPair {
  readonly earlier: Plan;
  readonly later: Plan;
}

const REPLACED = 25;
const LAMPS_MM = 2500;
const PAIR_DISTANCES = [0.65, 0.82, 1, 1.22, 1.5];
const WALL = { index: 1.5, extinction: 0 };

/** What stays: the array as built, the sheet, the lens. */
function drawBuild(draw: Draw, seed: number, size: { rows: number; columns: number; pitchPx: number }) {
  const { rows, columns, pitchPx } = size;
  const wall = { ...WALL, gloss: draw.between(0.1, 0.6) };
  const { array, spacingMm } = drawArray(draw, { name: `Bench panel ${seed}`, rows, columns }, wall, false);
  const common = {
    format: PLAN_FORMAT,
    seed,
    array,
    photo: {
      width: Math.round(((columns + 1) * pitchPx) / 0.78),
      height: Math.round(((rows + 0.5) * pitchPx) / 0.78),
    },
    sheet: { core: '0.15 mm', 'halo-share': draw.between(0, 0.08) },
    lamp: { diameter: '6 mm', candela: 60 },
    build: {
      wall,
      'placement-jitter': '0.06 mm',
      'pointing-jitter': '0.05 deg',
      'transmission-scatter': draw.between(0.02, 0.04),
      'outline-bulge': `${draw.between(0, 0.8)} mm`,
      crosstalk: 0.005,
    },
  };
  const lens = { distortion: draw.between(-0.03, 0.03), vignetting: draw.between(0.1, 0.3), 'blur-px': 0.8 };
  return { common, lens, spacingMm };
}

/** What is otherwise in every session: where the camera stands, the room, the even light, the noise. */
function drawSession(draw: Draw, lens: object) {
  const angle = () => `${draw.between(-4, 4)} deg`;
  return {
    'session-seed': draw.whole(1, 1e9),
    camera: {
      ...lens,
      distance: `${draw.between(250, 450)} mm`,
      framing: draw.between(0.68, 0.8),
      tilt: angle(),
      turn: angle(),
      roll: angle(),
      'drift-px': 0.05,
    },
    light: { unevenness: draw.between(0, 0.25), 'room-lux': draw.ratio(0.002, 0.03) },
  };
}

/** Three by three lamps over the middle of what the array sees. */
function lampShots(array: ArraySpec) {
  const step = axisSpacingMm(array, LAMPS_MM) * 3;
  return [-1, 0, 1].flatMap((up) =>
    [-1, 0, 1].map((across) => ({
      kind: 'lamp',
      across: `${Math.round(across * step)} mm`,
      up: `${Math.round(up * step)} mm`,
      distance: `${LAMPS_MM} mm`,
    })),
  );
}

/**
 * An array of 12 × 15 tubes in two sessions between which nothing changed but the camera's place, light and noise: dark and even
 * shots, two pairs at each of five distances, and in every second one nine lamp shots.
 */
export function unchangedPair(index: number): SessionPair {
  const seed = 20_000 + index;
  const draw = new Draw(seededRandom(seed));
  const { common, lens, spacingMm } = drawBuild(draw, seed, {
    rows: 12,
    columns: 15,
    pitchPx: draw.ratio(14, 24),
  });
  const geometry = arrayInput.parse(common.array);
  const faults = { blocked: 3, weak: 3 };
  const session = () => {
    const pairs = PAIR_DISTANCES.flatMap((share) => {
      const distanceMm = 10 * Math.round((LAMPS_MM * share) / 10);
      const nudge = () => `${Math.round(axisSpacingMm(geometry, distanceMm) * draw.between(-0.5, 0.5))} mm`;
      const distance = `${distanceMm} mm`;
      return [0, 1].map(() => ({
        kind: 'pair',
        spacing: `${spacingMm} mm`,
        distance,
        across: nudge(),
        up: nudge(),
      }));
    });
    const shots = [
      { kind: 'dark' },
      { kind: 'even', repeats: 2 },
      ...(index % 2 ? lampShots(geometry) : []),
      ...pairs,
    ];
    return planSchema.parse({ ...common, ...drawSession(draw, lens), faults, shots });
  };
  return { earlier: session(), later: session() };
}

/**
 * An array of 20 × 25 tubes of which 25 are not the same in the second session: faulty tubes replaced by good ones, and the other
 * way round. Most of the faulty ones lack 10 to 30 % of their light. Dark and even shots, in every second pair bare ones.
 */
export function replacedPair(index: number): SessionPair {
  const seed = 30_000 + index;
  const draw = new Draw(seededRandom(seed));
  const { common, lens } = drawBuild(draw, seed, { rows: 20, columns: 25, pitchPx: draw.ratio(14, 20) });
  const places = new Set<number>();
  while (places.size < REPLACED) places.add(draw.whole(0, 499));
  const faulty = [...places].map((place, n) => ({
    row: Math.floor(place / 25) + 1,
    column: (place % 25) + 1,
    ...(n < 2
      ? { fault: 'blocked' }
      : n < 3
        ? { fault: 'open' }
        : { fault: 'weak', transmission: draw.between(0.7, 0.9) }),
  }));
  const session = (list: readonly object[]) =>
    planSchema.parse({
      ...common,
      ...drawSession(draw, lens),
      faults: { list },
      shots: [{ kind: 'dark' }, { kind: 'even', repeats: 2 }, ...(index % 2 ? [{ kind: 'bare' }] : [])],
    });
  // Mended ones and new faults.
  return {
    earlier: session(faulty.filter((_, n) => n % 3 !== 0)),
    later: session(faulty.filter((_, n) => n % 3 === 0)),
  };
}
