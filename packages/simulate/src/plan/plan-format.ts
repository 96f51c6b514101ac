import { seededRandom } from '@twolamp/optics';
import {
  type ArraySpec,
  angleDeg,
  arrayInput,
  criterionInput,
  exposureS,
  lengthMm,
  MOST_PIXELS,
  notNegativeLengthMm,
  positiveLengthMm,
} from '@twolamp/session';
import { z } from 'zod';
import { type Packing, packingInput } from '../packing/packing-format.js';
import { stackTubes } from '../packing/stack-tubes.js';
import { STREAM } from '../streams.js';
import { faultsInput, STREWN_FAULTS } from './faults-format.js';
import { plannedScene, plannedShot } from './shots-format.js';

export const PLAN_FORMAT = 'twolamp-plan/1';

const share = z.number().min(0).max(1);

const photo = z
  .strictObject({
    width: z.int().min(64).max(20_000).describe('px, as seen upright'),
    height: z.int().min(64).max(20_000).describe('px, as seen upright'),
    format: z.enum(['jpeg', 'png8', 'png16']).default('jpeg'),
    quality: z.int().min(1).max(100).default(92).describe('JPEG only'),
    tone: z.enum(['srgb', 'linear']).default('srgb'),
    orientation: z
      .int()
      .min(1)
      .max(8)
      .default(1)
      .describe('EXIF tag; the stored pixels are turned to fit it'),
    tint: z
      .tuple([share, share, share])
      .default([1, 1, 1])
      .describe('red, green, blue of white light; 1, 1, 1 = a grey photo'),
  })
  .refine(({ width, height }) => width * height <= MOST_PIXELS, `at most ${MOST_PIXELS} pixels`);

const camera = z
  .strictObject({
    distance: positiveLengthMm.default(450).describe('from the middle of the sheet'),
    framing: z.number().min(0.05).max(2).default(0.85).describe('share of the photo that the cells fill'),
    tilt: angleDeg.default(0).describe('about the horizontal: the upper rows come nearer'),
    turn: angleDeg.default(0).describe('about the vertical: the right columns come nearer'),
    roll: angleDeg.default(0).describe('in the plane of the photo, clockwise'),
    distortion: z.number().min(-0.3).max(0.3).default(0).describe('k1; radius in half diagonals'),
    vignetting: share.default(0).describe('loss of light in the corners'),
    'blur-px': z.number().min(0.4).max(20).default(0.8).describe('standard deviation of the lens blur'),
    aperture: z.number().positive().default(1.8).describe('f-number'),
    'full-well': z.number().min(10).default(8000).describe('electrons that fill the scale at ISO 100'),
    'read-noise': z.number().min(0).default(2.5).describe('electrons'),
    offset: z.number().min(0).max(0.2).default(0).describe('black level, share of full scale'),
    'longest-exposure': exposureS.default(1).describe('beyond it the ISO goes up'),
    'drift-px': z.number().min(0).default(0).describe('standard deviation of the step from photo to photo'),
  })
  .prefault({});

const sheet = z
  .strictObject({
    core: notNegativeLengthMm.default(0.12).describe('standard deviation of the scatter in the sheet'),
    'halo-share': z.number().min(0).max(0.9).default(0),
    'halo-scale': positiveLengthMm.default(2),
    spots: z
      .enum(['as lit', 'filled'])
      .default('as lit')
      .describe(
        'whether a slanting beam lights one side of its spot only, or is spread over the bore before the sheet',
      ),
    margin: notNegativeLengthMm.default(8).describe('how far the sheet goes beyond the outer tubes'),
  })
  .prefault({});

const light = z
  .strictObject({
    'even-lux': z.number().positive().default(4000).describe('on the front face, for even and bare shots'),
    unevenness: z.number().min(0).max(0.8).default(0).describe('range of the even light over the front face'),
    'room-lux': z.number().min(0).default(0).describe('stray light on the sheet, from behind'),
    'single-lux': z.number().positive().default(40_000).describe('on the one open tube of a single shot'),
  })
  .prefault({});

const lamp = z
  .strictObject({
    diameter: notNegativeLengthMm.default(0),
    candela: z.number().positive().default(40),
  })
  .prefault({});

const wall = z.strictObject({
  index: z.number().min(1).max(5),
  extinction: z.number().min(0).max(10),
  gloss: share.describe('share of the reflected light that stays a mirror image'),
  diffuse: share.default(0).describe('share of the rest that comes back scattered'),
});

const build = z
  .strictObject({
    wall: wall
      .optional()
      .describe("the tubes' true inside; as the array's tube-wall where left out, else black"),
    'placement-jitter': notNegativeLengthMm
      .default(0)
      .describe('standard deviation of the back ends, each axis'),
    'pointing-jitter': angleDeg
      .refine((deg) => deg >= 0, 'an angle of 0 or more')
      .default(0)
      .describe('standard deviation, each axis; of the front ends'),
    'transmission-scatter': share.default(0).describe('relative standard deviation'),
    'outline-bulge': lengthMm.default(0).describe('how far the middle of each side stands out at the back'),
    crosstalk: z
      .number()
      .min(0)
      .max(0.5)
      .default(0)
      .describe('share of the light that leaves by other tubes'),
    'crosstalk-scatter': share.default(0).describe('relative standard deviation from tube to tube'),
  })
  .prefault({});

/** plan.yaml: what to build and what to photograph; lengths in mm, angles in degrees, times in seconds once read. */
export const planSchema = z
  .strictObject({
    format: z.literal(PLAN_FORMAT),
    seed: z.int().min(0),
    'session-seed': z
      .int()
      .min(0)
      .optional()
      .describe(
        'for what differs when the same array is shot again: noise, drift, even light; as seed where left out',
      ),
    array: arrayInput,
    criterion: criterionInput.default({ name: 'rayleigh', requiredDip: 0.265 }),
    photo,
    camera,
    sheet,
    light,
    lamp,
    build,
    faults: faultsInput,
    packing: packingInput.describe('of a packed array'),
    shots: z.array(plannedShot).min(1),
    scenes: z.array(plannedScene).default([]),
  })
  .superRefine((plan, context) => {
    const refuse = (path: (string | number)[], message: string) =>
      context.addIssue({ code: 'custom', path, message });
    const { rows, columns, tubes } = plan.array;
    const packed = plan.array.arrangement === 'packed';
    const outside = (row: number, column: number) => row > rows || column > columns;
    const names = new Set<string>();
    const requireNewName = (photo: string | undefined, list: string, index: number) => {
      if (photo === undefined) return;
      if (names.has(photo)) refuse([list, index, 'photo'], 'each photo name once');
      names.add(photo);
    };
    const isScreen = plan.array.kind === 'cell-screen';
    plan.scenes.forEach(({ photo }, index) => {
      requireNewName(photo, 'scenes', index);
    });
    plan.shots.forEach((shot, index) => {
      requireNewName(shot.photo, 'shots', index);
      if (isScreen && 'distance' in shot)
        refuse(['shots', index], 'no lamps: a cell screen is lit by a lens');
      if (shot.kind !== 'single') return;
      if (packed) {
        if (shot.tube === undefined || shot.tube > (tubes ?? 0))
          refuse(['shots', index, 'tube'], `a tube up to ${tubes}`);
      } else if (shot.row === undefined || shot.column === undefined || outside(shot.row, shot.column)) {
        refuse(['shots', index], `a row up to ${rows} and a column up to ${columns}`);
      }
    });
    const taken = new Set<string>();
    plan.faults.list.forEach((fault, index) => {
      const place = `${fault.row}/${fault.column}`;
      if (taken.has(place)) refuse(['faults', 'list', index], 'one fault a tube');
      taken.add(place);
      const to = fault.fault === 'leaky' ? fault.to : fault;
      if (packed) refuse(['faults', 'list', index], 'none: packed tubes have no rows; faults are strewn');
      else if (outside(fault.row, fault.column) || outside(to.row, to.column)) {
        refuse(['faults', 'list', index], `a row up to ${rows} and a column up to ${columns}`);
      }
    });
    const places = packed ? (tubes ?? 0) : rows * columns;
    for (const fault of STREWN_FAULTS) {
      if (plan.faults[fault] > places) refuse(['faults', fault], `at most one a tube: ${places}`);
    }
    if (!plan.shots.some((shot) => shot.kind === 'even')) {
      refuse(['shots'], 'at least one shot of kind even: without it no cell can be found');
    }
  })
  .transform((plan) => ({ ...plan, array: stacked(plan.array, plan.packing, plan.seed) }));

/** A packed array with its tubes in their places; others as they are. */
function stacked(array: ArraySpec, packing: Packing, seed: number): ArraySpec {
  if (array.arrangement !== 'packed' || array.tubes === undefined) return array;
  const random = seededRandom(seed, STREAM.stack);
  return { ...array, places: stackTubes(array.tubes, array.backPitchMm, packing, random) };
}

/** What to build and what to photograph, read and checked. */
export type Plan = z.infer<typeof planSchema>;
