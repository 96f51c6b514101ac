import { z } from 'zod';
import { EVIDENCE_FORMAT, type Evidence } from '../evidence-format.js';

const EVIDENCE_FORMAT_1 = 'twolamp-evidence/1';
const figures = z.array(z.number());

/** evidence.json as programs before findings wrote it. */
export const evidenceSchema1 = z.strictObject({
  format: z.literal(EVIDENCE_FORMAT_1),
  picture: z
    .strictObject({
      photo: z.string(),
      jpeg: z.string().describe('data: address of a reduced copy of the even shot'),
      widthPx: z.int(),
      heightPx: z.int(),
      scale: z.number().describe('pixels of the photo per pixel of the reduced copy'),
    })
    .nullable(),
  pitchPx: z.number().describe('mean distance of neighbouring cells in the even shot'),
  dipCurve: z
    .strictObject({ distanceM: figures, dip: figures, lowDip: figures, highDip: figures })
    .nullable()
    .describe('dip against distance as fitted, with its 95 % band'),
  profiles: z
    .array(
      z.strictObject({
        photo: z.string(),
        offsetCells: figures.describe('along the line of the lamps, 0 = middle between them'),
        measured: figures,
        model: figures,
      }),
    )
    .describe('light along the line of the lamps, one a pair shot, largest model value = 1'),
  sweep: z
    .strictObject({
      lamps: z.array(z.strictObject({ acrossMm: z.number(), upMm: z.number(), distanceMm: z.number() })),
      response: z
        .array(z.array(z.number().nullable()))
        .describe('one list a cell: light of each lamp through it, typical best answer = 1'),
    })
    .nullable(),
  pull: z
    .array(
      z.strictObject({
        gainUncertainty: z.number(),
        dipGain: z.number().nullable(),
        dipGainUncertainty: z.number().nullable(),
      }),
    )
    .describe(
      'one a tube of the pull list, in its order: standard uncertainty of its gain in light, and what the mean dip of two lamps at the resolving distance gains when it is replaced',
    ),
});

/** Evidence of version 1 as that of version 2, where what stands beside the pull list has moved into the result. */
export function upgradeEvidence1({ pull: _, ...rest }: z.infer<typeof evidenceSchema1>): Evidence {
  return { ...rest, format: EVIDENCE_FORMAT };
}
