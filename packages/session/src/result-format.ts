import { z } from 'zod';
import { doubtfulFigure } from './doubtful.js';
import { findingSchema, reasonSchema } from './findings/define.js';
import { FAULT_REASONS, RESULT_FINDINGS } from './findings/index.js';
import { LARGEST_FIGURE, resultMisfits } from './result-relations.js';

export const RESULT_FORMAT = 'twolamp-result/2';

/** Faults in the words of the bench; 'none' = healthy. */
export const FAULTS = ['none', 'blocked', 'weak', 'bent', 'misaimed', 'leaky', 'open'] as const;
export type Fault = (typeof FAULTS)[number];

const figure = z.number().min(-LARGEST_FIGURE).max(LARGEST_FIGURE);
const measured = figure.nullable();
const place = {
  cell: z.int().min(1),
  row: z.int().min(1).nullable().describe('null where tubes are packed without rows'),
  column: z.int().min(1).nullable().describe('likewise'),
};

const transmission = z.strictObject({
  relative: measured,
  relativeUncertainty: measured,
  absolute: measured,
  absoluteUncertainty: measured,
  doubtful: doubtfulFigure,
});

const pointing = z.strictObject({
  acrossDeg: figure,
  upDeg: figure,
  uncertaintyDeg: measured,
  errorDeg: measured,
  errorUncertaintyDeg: measured,
  acceptanceWidthDeg: measured,
  acceptanceWidthUncertaintyDeg: measured,
  doubtful: doubtfulFigure,
});

const cell = z.strictObject({
  cell: z.int().min(1).describe('number, from 1 in reading order'),
  row: place.row,
  column: place.column,
  atMm: z
    .strictObject({ across: figure, up: figure })
    .describe('place at the sheet from the middle of the array, seen from the back'),
  state: z.enum(['filled', 'unfilled']).describe('unfilled: a hole that has no tube yet'),
  xPx: figure,
  yPx: figure,
  seen: z.boolean().describe('false: its place is known from the lattice, no light was found'),
  transmission,
  pointing: pointing.nullable(),
  bend: z.strictObject({ bowMm: figure, uncertaintyMm: measured }).nullable(),
  cureShiftMm: z.strictObject({ across: figure, up: figure, uncertainty: measured }).nullable(),
  crosstalk: z
    .strictObject({
      total: figure,
      totalUncertainty: measured,
      worst: z.strictObject({ ...place, share: figure, shareUncertainty: measured }).nullable(),
      doubtful: doubtfulFigure,
    })
    .nullable(),
  fault: z.enum(FAULTS),
  reasons: z.array(reasonSchema(FAULT_REASONS)).describe('why it counts as faulty; none for a healthy tube'),
});

const pair = z.strictObject({
  photo: z.string(),
  distanceM: figure,
  spacingM: figure,
  turnedDeg: figure,
  separationCells: measured,
  separationUncertainty: measured,
  dip: measured,
  dipUncertainty: measured,
  separate: z.boolean().nullable(),
  doubtful: doubtfulFigure,
});

const resolving = z.strictObject({
  criterion: z.string(),
  requiredDip: figure,
  spacingM: figure,
  distanceM: figure,
  lowM: measured,
  highM: measured,
  confidence: figure,
  angleDeg: figure,
  angleLowDeg: measured,
  angleHighDeg: measured,
  predictedDistanceM: measured,
  predictedDistanceUncertaintyM: measured,
  bound: z.enum(['within', 'beyond', 'nearer']),
  doubtful: doubtfulFigure,
});

const crosstalk = z.strictObject({
  tubesTested: z.int(),
  meanTotal: figure,
  meanTotalUncertainty: measured,
  kernel: z
    .array(z.array(figure))
    .describe('mean share by offset, rows downwards, the lit tube in the middle'),
  kernelUncertainty: z.array(z.array(measured)).describe('standard uncertainty of each share of the kernel'),
  doubtful: doubtfulFigure,
});

const wall = z.strictObject({
  gloss: figure.describe('effective: 0 = nothing is reflected, 1 = as smooth as glass'),
  uncertainty: measured,
  index: figure.describe('refractive index that the gloss goes with'),
  extinction: figure.describe('imaginary part of it'),
  doubtful: doubtfulFigure,
});

const pull = z.strictObject({
  ...place,
  fault: z.enum(FAULTS),
  gain: figure.describe('light that the array gains where it belongs, share, when this tube is replaced'),
  gainUncertainty: measured,
  dipGain: measured.describe('what the mean dip of two lamps at the resolving distance gains'),
  dipGainUncertainty: measured,
});

const repair = z.strictObject({
  tubes: z.int().min(1).describe('how many of the pull list are replaced, from its head'),
  light: figure.describe('light that the array gains where it belongs, share'),
  lightUncertainty: measured,
  dip: measured.describe('what the mean dip of two lamps at the resolving distance gains'),
  dipUncertainty: measured,
  fartherM: measured.describe('by how much farther away two lamps then stay separate'),
  fartherUncertaintyM: measured,
});

const made = z
  .strictObject({
    version: z.string().describe('of the program'),
    sessionSha256: z.string().describe('of session.yaml'),
    photos: z.array(z.strictObject({ photo: z.string(), sha256: z.string() })),
  })
  .nullable()
  .describe('which program and which files the result came from; null where that is not known');

const photo = z.strictObject({
  photo: z.string(),
  kind: z.enum(['dark', 'even', 'bare', 'lamp', 'pair', 'single']),
  widthPx: z.int(),
  heightPx: z.int(),
  exposureS: measured,
  iso: measured,
  clippedShare: figure,
  driftPx: z.tuple([figure, figure]).nullable(),
  takenAt: z
    .string()
    .regex(/^\d{4}-(0[1-9]|1[0-2])-([0-2]\d|3[01])T\d\d:\d\d:\d\d$/)
    .nullable()
    .optional()
    .describe("local time of the camera's clock; absent: not recorded"),
});

/** Places of an array: tubes, and holes without one. */
function placesOf({ rows, columns, map }: { rows: number; columns: number; map?: string[] | undefined }) {
  if (rows === 0) return null;
  return map === undefined ? rows * columns : map.join('').replaceAll('.', '').length;
}

/** result.json: what was measured. A figure the shots can't give is null, and a finding says why. */
export const resultSchema = z
  .strictObject({
    format: z.literal(RESULT_FORMAT),
    made,
    array: z.strictObject({
      name: z.string(),
      kind: z
        .literal('cell-screen')
        .optional()
        .describe('short cells behind a lens, without pointing and resolving distance; absent: light pipes'),
      arrangement: z.enum(['square', 'hexagonal', 'packed']),
      shiftedRows: z.enum(['odd', 'even']).optional(),
      rows: z.int().min(0).describe('0 where tubes are packed without rows'),
      columns: z.int().min(0),
      tubes: z.int().min(1).optional().describe('packed only: how many, as stated'),
      tubeLengthMm: figure,
      tubeBoreMm: figure,
      backPitchMm: figure,
      frontPitchMm: figure,
      map: z
        .array(z.string())
        .optional()
        .describe(
          'one string a row: # a tube, o a hole without a tube, . no hole; absent: a tube everywhere',
        ),
      unfilled: z.enum(['covered', 'open']).optional(),
      minutesPerTube: figure.optional(),
    }),
    cells: z.array(cell),
    pairs: z.array(pair),
    resolving: resolving.nullable(),
    crosstalk: crosstalk.nullable(),
    wall: wall.nullable(),
    pull: z.array(pull),
    repairs: z
      .array(repair)
      .optional()
      .describe('what replacing the first 1, 5 and all tubes of the pull list brings; absent: not computed'),
    findings: z.array(findingSchema(RESULT_FINDINGS)),
    doubtful: doubtfulFigure,
    photos: z.array(photo),
  })
  .refine(({ array, cells }) => cells.length === (placesOf(array) ?? cells.length), {
    path: ['cells'],
    error: 'one cell for each hole, with a tube or without',
  })
  .superRefine((result, context) => {
    for (const { path, expected } of resultMisfits(result)) {
      context.addIssue({ code: 'custom', path, message: expected });
    }
  });

export type Result = z.infer<typeof resultSchema>;
export type CellResult = Result['cells'][number];
export type PairResult = Result['pairs'][number];
export type Resolving = NonNullable<Result['resolving']>;
export type CrosstalkSummary = NonNullable<Result['crosstalk']>;
export type PullEntry = Result['pull'][number];
export type Repair = NonNullable<Result['repairs']>[number];
export type PhotoRecord = Result['photos'][number];
