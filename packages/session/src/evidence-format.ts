import { z } from 'zod';
import { ONE_LENGTH, raggedSeries } from './evidence-relations.js';

export const EVIDENCE_FORMAT = 'twolamp-evidence/2';

/** Far beyond any light, place or share; sums and squares of it stay finite. */
const LARGEST = 1e12;
const pairOfTubes = z.tuple([z.int().min(1), z.int().min(1)]);
const figures = z.array(z.number().min(-LARGEST).max(LARGEST));

/**
 * evidence.json: what the page draws beyond the figures of result.json. It backs the plots; nothing is measured from it.
 * Cells are in reading order: index = (row − 1) · columns + column − 1.
 */
export const evidenceSchema = z
  .strictObject({
    format: z.literal(EVIDENCE_FORMAT),
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
    plainDips: z
      .array(z.strictObject({ distanceM: z.number(), dip: z.number(), uncertainty: z.number() }))
      .optional()
      .describe('dips read off the cells’ light without the model, nudges of one distance taken together'),
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
    packing: z
      .strictObject({
        breaks: z.array(z.int().min(1)).describe('tubes inside with more or fewer than six neighbours'),
        slips: z.array(pairOfTubes).describe('tubes across a square, where a row has slid past the next'),
        gaps: z.array(pairOfTubes).describe('neighbours that stand apart'),
      })
      .optional()
      .describe('packed arrays only: where the tubes depart from hexagonal order, by their numbers'),
  })
  .superRefine((evidence, context) => {
    for (const path of raggedSeries(evidence)) {
      context.addIssue({ code: 'custom', path, message: ONE_LENGTH });
    }
  });

export type Evidence = z.infer<typeof evidenceSchema>;
