import { z } from 'zod';
import { doubtfulSource } from './doubtful.js';
import { findingSchema } from './findings/define.js';
import { COMPARISON_FINDINGS } from './findings/index.js';
import { FAULTS } from './result-format.js';

export const COMPARISON_FORMAT = 'twolamp-comparison/2';

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
      cell: z.int().min(1),
      cellEarlier: z.int().min(1).optional().describe("packed only: the tube's number in the earlier result"),
      row: z.int().min(1).nullable().describe('null where tubes are packed without rows'),
      column: z.int().min(1).nullable(),
      transmission: z
        .strictObject({
          earlier: z.number(),
          later: z.number(),
          change: z.number(),
          uncertainty: z.number(),
          significant: z.boolean(),
        })
        .nullable()
        .describe('null where a session did not measure it, or where the tube is an open hole in both'),
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
  findings: z.array(findingSchema(COMPARISON_FINDINGS)),
  doubtful: doubtfulSource,
});

export type Comparison = z.infer<typeof comparisonSchema>;
export type TubeChange = Comparison['tubes'][number];
