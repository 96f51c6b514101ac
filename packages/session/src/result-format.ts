import { z } from 'zod';

export const RESULT_FORMAT = 'twolamp-result/1';

/** Faults in the words of the bench; 'none' = healthy. */
export const FAULTS = ['none', 'blocked', 'weak', 'bent', 'misaimed', 'leaky', 'open'] as const;
export type Fault = (typeof FAULTS)[number];

const figure = z.number();
const measured = figure.nullable();

const transmission = z.strictObject({
  relative: measured,
  relativeUncertainty: measured,
  absolute: measured,
  absoluteUncertainty: measured,
});

const pointing = z.strictObject({
  acrossDeg: figure,
  upDeg: figure,
  uncertaintyDeg: measured,
  errorDeg: measured,
  acceptanceWidthDeg: measured,
});

const cell = z.strictObject({
  row: z.int().min(1),
  column: z.int().min(1),
  xPx: figure,
  yPx: figure,
  seen: z.boolean().describe('false: its place is known from the lattice, no light was found'),
  transmission,
  pointing: pointing.nullable(),
  bend: z.strictObject({ bowMm: figure, uncertaintyMm: measured }).nullable(),
  cureShiftMm: z.strictObject({ across: figure, up: figure }).nullable(),
  crosstalk: z
    .strictObject({
      total: figure,
      worst: z.strictObject({ row: z.int(), column: z.int(), share: figure }).nullable(),
    })
    .nullable(),
  fault: z.enum(FAULTS),
  because: z.string(),
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
  predictedDistanceM: measured,
  bound: z.enum(['within', 'beyond', 'nearer']),
});

const crosstalk = z.strictObject({
  tubesTested: z.int(),
  meanTotal: figure,
  kernel: z
    .array(z.array(figure))
    .describe('mean share by offset, rows downwards, the lit tube in the middle'),
});

const photo = z.strictObject({
  photo: z.string(),
  kind: z.enum(['dark', 'even', 'bare', 'lamp', 'pair', 'single']),
  widthPx: z.int(),
  heightPx: z.int(),
  exposureS: measured,
  iso: measured,
  clippedShare: figure,
  driftPx: z.tuple([figure, figure]).nullable(),
});

function tubesOf({ rows, columns, map }: { rows: number; columns: number; map?: string[] | undefined }) {
  return map === undefined ? rows * columns : map.join('').replaceAll(/[^#]/g, '').length;
}

/** result.json: what was measured. A figure the shots can't give is null, and `notes` says why. */
export const resultSchema = z
  .strictObject({
    format: z.literal(RESULT_FORMAT),
    array: z.strictObject({
      name: z.string(),
      arrangement: z.enum(['square', 'hexagonal']),
      shiftedRows: z.enum(['odd', 'even']).optional(),
      rows: z.int().min(1),
      columns: z.int().min(1),
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
    pull: z.array(z.strictObject({ row: z.int(), column: z.int(), fault: z.enum(FAULTS), gain: figure })),
    notes: z.array(z.strictObject({ about: z.string(), says: z.string() })),
    photos: z.array(photo),
  })
  .refine((result) => result.cells.length === tubesOf(result.array), {
    path: ['cells'],
    error: 'one cell for each tube',
  });

export type Result = z.infer<typeof resultSchema>;
export type CellResult = Result['cells'][number];
export type PairResult = Result['pairs'][number];
export type Resolving = NonNullable<Result['resolving']>;
export type CrosstalkSummary = NonNullable<Result['crosstalk']>;
export type PullEntry = Result['pull'][number];
export type Note = Result['notes'][number];
export type PhotoRecord = Result['photos'][number];
