import { seededRandom } from '@twolamp/optics';
import type { LampPlace } from '@twolamp/plan';
import { type ArraySpec, arrayInput } from '@twolamp/session';
import { type Plan, PLAN_FORMAT, planSchema } from '@twolamp/simulate';
import { Draw, drawArray } from '../accuracy/draw-plan.js';

/** An array with faults, and the session of a short evening with any places of the single lamp. */
export interface LampCase {
  readonly array: ArraySpec;
  readonly gloss: number;
  /** Middle of the pairs' distances, and the farthest. */
  readonly middleMm: number;
  readonly farthestMm: number;
  /** Dark, two even, five pairs, lamps at the places given and the bare sheet. */
  readonly planWith: (places: readonly LampPlace[], distanceMm: number) => Plan;
}

const SIZES = [
  [10, 14],
  [17, 22],
  [24, 30],
  [40, 50],
] as const;
/** Near matte first, then glossy. */
const GLOSSES = [
  [0, 0.1],
  [0.3, 0.6],
] as const;
const MIDDLE_MM = 2500;
const PAIR_DISTANCES = [0.65, 0.82, 1, 1.22, 1.5];
/** Of each fault. */
const FAULTY = 0.02;
const FRAMING = 0.78;
/** Up to so many tubes, photos have the larger pitch. */
const MANY_TUBES = 1000;
const PITCH_PX = { few: 14, many: 11 };

const mm = (value: number): string => `${value.toFixed(1)} mm`;

/** Case number `index`; the same number gives the same case. Sizes take turns, and after all sizes the walls. */
export function drawLampCase(index: number): LampCase {
  const seed = 50_000 + index;
  const draw = new Draw(seededRandom(seed));
  const [rows, columns] = SIZES[index % SIZES.length]!;
  const [matte, glossy] = GLOSSES[Math.floor(index / SIZES.length) % GLOSSES.length]!;
  const gloss = draw.between(matte, glossy);
  const wall = { index: 1.5, extinction: 0, gloss };
  const { array: stated, spacingMm } = drawArray(
    draw,
    { name: `Lamp panel ${index}`, rows, columns },
    wall,
    false,
  );
  const each = Math.max(3, Math.round(FAULTY * rows * columns));
  const pitchPx = rows * columns > MANY_TUBES ? PITCH_PX.many : PITCH_PX.few;
  const planWith = (places: readonly LampPlace[], distanceMm: number) =>
    planSchema.parse({
      format: PLAN_FORMAT,
      seed,
      array: stated,
      photo: {
        width: Math.round(((columns + 1) * pitchPx) / FRAMING),
        height: Math.round(((rows + 0.5) * pitchPx) / FRAMING),
      },
      camera: {
        framing: FRAMING,
        tilt: '1.5 deg',
        turn: '-1 deg',
        vignetting: 0.15,
        'blur-px': 0.7,
        'longest-exposure': '4 s',
      },
      sheet: { core: '0.15 mm', 'halo-share': 0.05 },
      light: { unevenness: 0.12, 'room-lux': 0.005 },
      lamp: { diameter: '8 mm', candela: 60 },
      build: {
        wall,
        'placement-jitter': '0.05 mm',
        'pointing-jitter': '0.05 deg',
        'transmission-scatter': 0.03,
        crosstalk: 0.006,
      },
      faults: {
        blocked: each,
        weak: each,
        bent: each,
        misaimed: each,
        bow: ['1 mm', '2.2 mm'],
        shift: ['0.8 mm', '2 mm'],
      },
      shots: [
        { kind: 'dark' },
        { kind: 'even', repeats: 2 },
        ...PAIR_DISTANCES.map((share) => ({
          kind: 'pair',
          spacing: mm(spacingMm),
          distance: mm(MIDDLE_MM * share),
        })),
        ...places.map(({ acrossMm, upMm }) => ({
          kind: 'lamp',
          across: mm(acrossMm),
          up: mm(upMm),
          distance: mm(distanceMm),
        })),
        { kind: 'bare' },
      ],
    });
  return {
    array: arrayInput.parse(stated),
    gloss,
    middleMm: MIDDLE_MM,
    farthestMm: MIDDLE_MM * Math.max(...PAIR_DISTANCES),
    planWith,
  };
}
