import { tubeBack } from '@twolamp/optics';
import { z } from 'zod';
import { finding, reason } from '../findings/index.js';
import { RESULT_FORMAT, type Result } from '../result-format.js';
import { LARGEST_FIGURE, resultMisfits } from '../result-relations.js';

const RESULT_FORMAT_1 = 'twolamp-result/1';
const FAULTS_1 = ['none', 'blocked', 'weak', 'bent', 'misaimed', 'leaky', 'open'] as const;

const figure = z.number().min(-LARGEST_FIGURE).max(LARGEST_FIGURE);
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
  fault: z.enum(FAULTS_1),
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

/** result.json as programs before findings wrote it. */
export const resultSchema1 = z
  .strictObject({
    format: z.literal(RESULT_FORMAT_1),
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
    }),
    cells: z.array(cell),
    pairs: z.array(pair),
    resolving: resolving.nullable(),
    crosstalk: crosstalk.nullable(),
    pull: z.array(z.strictObject({ row: z.int(), column: z.int(), fault: z.enum(FAULTS_1), gain: figure })),
    notes: z.array(z.strictObject({ about: z.string(), says: z.string() })),
    photos: z.array(photo),
  })
  .refine((result) => result.cells.length === result.array.rows * result.array.columns, {
    path: ['cells'],
    error: 'one cell for each row and column',
  })
  .superRefine((result, context) => {
    for (const { path, expected } of resultMisfits(result)) {
      context.addIssue({ code: 'custom', path, message: expected });
    }
  });

type Result1 = z.infer<typeof resultSchema1>;

/**
 * A result of version 1 as one of version 2: notes and reasons become findings that carry their text; what version 1
 * didn't give (the wall, uncertainties beside some figures, which files it came from) is null.
 */
export function upgradeResult1(old: Result1): Result {
  const { notes, ...rest } = old;
  const { array } = old;
  const cellAt = (row: number, column: number): number => (row - 1) * array.columns + column;
  return {
    ...rest,
    format: RESULT_FORMAT,
    made: null,
    cells: old.cells.map(({ because, ...cell }) => {
      const number = cellAt(cell.row, cell.column);
      const { acrossMm, upMm } = tubeBack(array, number - 1);
      return {
        ...cell,
        cell: number,
        atMm: { across: acrossMm, up: upMm },
        state: 'filled',
        pointing: cell.pointing && {
          ...cell.pointing,
          errorUncertaintyDeg: null,
          acceptanceWidthUncertaintyDeg: null,
        },
        cureShiftMm: cell.cureShiftMm && { ...cell.cureShiftMm, uncertainty: null },
        crosstalk: cell.crosstalk && {
          total: cell.crosstalk.total,
          totalUncertainty: null,
          worst: cell.crosstalk.worst && {
            ...cell.crosstalk.worst,
            cell: cellAt(cell.crosstalk.worst.row, cell.crosstalk.worst.column),
            shareUncertainty: null,
          },
        },
        reasons: because === '' ? [] : [reason('reason-v1', { text: because })],
      };
    }),
    resolving: old.resolving && {
      ...old.resolving,
      angleLowDeg: null,
      angleHighDeg: null,
      predictedDistanceUncertaintyM: null,
    },
    crosstalk: old.crosstalk && {
      ...old.crosstalk,
      meanTotalUncertainty: null,
      kernelUncertainty: old.crosstalk.kernel.map((line) => line.map(() => null)),
    },
    wall: null,
    pull: old.pull.map((entry) => ({
      ...entry,
      cell: cellAt(entry.row, entry.column),
      gainUncertainty: null,
      dipGain: null,
      dipGainUncertainty: null,
    })),
    findings: notes.map(({ about, says }) => finding('note-v1', about, { text: says })),
  };
}
