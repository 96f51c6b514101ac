import { z } from 'zod';
import { doubtfulSource } from './doubtful.js';
import { findingSchema } from './findings/define.js';
import { PREVIEW_FINDINGS } from './findings/index.js';

export const PREVIEW_FORMAT = 'twolamp-preview/2';

const figure = z.number();

/** preview.json: a scene as an array would paint it. */
export const previewSchema = z.strictObject({
  format: z.literal(PREVIEW_FORMAT),
  array: z.string(),
  scene: z.strictObject({
    photo: z.string(),
    widthM: figure,
    heightM: figure,
    distanceM: figure,
    field: z
      .strictObject({ leftM: figure, rightM: figure, bottomM: figure, topM: figure })
      .describe("between the middles of the outer tubes' views, from the scene's middle"),
  }),
  tubes: z
    .array(
      z.strictObject({
        cell: z.int().min(1),
        row: z.int().min(1).nullable().describe('null where tubes are packed without rows'),
        column: z.int().min(1).nullable(),
        asMeasured: figure,
        repaired: figure.describe('with the tubes of the pull list replaced by typical ones'),
        perfect: figure.describe('an array of the same geometry of typical tubes alone'),
      }),
    )
    .describe('light of each tube; 1 = what a typical tube gives of a white scene that fills its view'),
  white: figure.describe(
    'light that the pictures show as white: their tones are sRGB codes of light / white',
  ),
  similarity: z
    .strictObject({
      asMeasured: figure,
      repaired: figure,
      places: z.int().describe('places it is the mean over: those that look at the scene, away from the rim'),
    })
    .nullable()
    .describe("structural similarity of the tubes' tones with the perfect array's; 1 = alike"),
  exposure: z
    .strictObject({
      fNumber: figure.describe(
        'of a lens that lights the sheet as brightly as a typical tube lights its spot',
      ),
      fNumberUncertainty: figure.nullable(),
      basis: z.enum(['measured', 'predicted']),
      known: z
        .strictObject({
          lensFNumber: figure,
          lensExposureS: figure,
          stops: figure.describe('light lost against that lens'),
          exposureS: figure.describe('the known exposure scaled to this array'),
          exposureUncertaintyS: figure.nullable(),
        })
        .nullable(),
    })
    .nullable(),
  findings: z.array(findingSchema(PREVIEW_FINDINGS)),
  doubtful: doubtfulSource,
});

export type Preview = z.infer<typeof previewSchema>;
