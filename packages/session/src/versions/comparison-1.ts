import { z } from 'zod';
import { COMPARISON_FORMAT, type Comparison } from '../comparison-format.js';
import { finding } from '../findings/index.js';

const COMPARISON_FORMAT_1 = 'twolamp-comparison/1';
const FAULTS_1 = ['none', 'blocked', 'weak', 'bent', 'misaimed', 'leaky', 'open'] as const;
const TUBE_VERDICTS_1 = ['mended', 'worse', 'new fault', 'still faulty', 'changed', 'unchanged'] as const;
const measured = z.number().nullable();

/** compare.json as programs before findings wrote it. */
export const comparisonSchema1 = z.strictObject({
  format: z.literal(COMPARISON_FORMAT_1),
  earlier: z.string(),
  later: z.string(),
  scale: z
    .strictObject({ later: z.number(), uncertainty: measured, basis: z.enum(['fitted', 'absolute']) })
    .nullable(),
  tubes: z.array(
    z.strictObject({
      row: z.int(),
      column: z.int(),
      transmission: z
        .strictObject({
          earlier: z.number(),
          later: z.number(),
          change: z.number(),
          uncertainty: z.number(),
          significant: z.boolean(),
        })
        .nullable(),
      pointing: z
        .strictObject({
          acrossDeg: z.number(),
          upDeg: z.number(),
          uncertaintyDeg: z.number(),
          significant: z.boolean(),
        })
        .nullable(),
      faultEarlier: z.enum(FAULTS_1),
      faultLater: z.enum(FAULTS_1),
      verdict: z.enum(TUBE_VERDICTS_1),
    }),
  ),
  resolving: z
    .strictObject({
      earlierM: z.number(),
      laterM: z.number(),
      differenceM: z.number(),
      lowM: measured,
      highM: measured,
      verdict: z.enum(['farther', 'nearer', 'no difference shown']),
    })
    .nullable(),
  falseDiscoveryRate: z.number(),
  notes: z.array(z.strictObject({ about: z.string(), says: z.string() })),
});

type Comparison1 = z.infer<typeof comparisonSchema1>;

/** A comparison of version 1 as one of version 2: cells get their number, notes become findings that carry their text. */
export function upgradeComparison1(old: Comparison1): Comparison {
  const { notes, ...rest } = old;
  const columns = Math.max(0, ...old.tubes.map(({ column }) => column));
  return {
    ...rest,
    format: COMPARISON_FORMAT,
    tubes: old.tubes.map((tube) => ({ cell: (tube.row - 1) * columns + tube.column, ...tube })),
    findings: notes.map(({ about, says }) => finding('note-v1', about, { text: says })),
  };
}
