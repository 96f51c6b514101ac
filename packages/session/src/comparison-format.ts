import { z } from 'zod';
import { FAULTS } from './result-format.js';

export const COMPARISON_FORMAT = 'twolamp-comparison/1';

export const TUBE_VERDICTS = [
  'mended',
  'worse',
  'new fault',
  'still faulty',
  'changed',
  'unchanged',
] as const;
export type TubeVerdict = (typeof TUBE_VERDICTS)[number];

const measured = z.number().nullable();

/** compare.json: an earlier result against a later one. Changes are later − earlier. */
export const comparisonSchema = z.strictObject({
  format: z.literal(COMPARISON_FORMAT),
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
      faultEarlier: z.enum(FAULTS),
      faultLater: z.enum(FAULTS),
      verdict: z.enum(TUBE_VERDICTS),
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

export type Comparison = z.infer<typeof comparisonSchema>;
export type TubeChange = Comparison['tubes'][number];
