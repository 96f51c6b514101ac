import { angleDeg, exposureS, lengthMm, pathBeside, positiveLengthMm } from '@twolamp/session';
import { z } from 'zod';

const onePhoto = {
  photo: z
    .string()
    .regex(/^\w[\w.-]*$/, 'a plain file name')
    .optional(),
  exposure: exposureS.optional().describe('set by hand; else the camera chooses'),
  iso: z.number().positive().optional(),
};
/** A push against the camera's stand before a shot; the camera stays so for the shots after it. */
const bump = z.strictObject({
  'right-px': z.number().default(0).describe('by which the picture moves'),
  'down-px': z.number().default(0),
  roll: angleDeg.default(0).describe('by which it turns, clockwise'),
});
const common = { ...onePhoto, bump: bump.optional(), repeats: z.int().min(1).max(99).default(1) };

function isFullySet({ exposure, iso }: { exposure?: number | undefined; iso?: number | undefined }): boolean {
  return (exposure === undefined) === (iso === undefined);
}
const FULLY_SET = 'exposure and iso together, or neither';

/** A shot as in session.yaml; photos without a name are named after their kind. */
export const plannedShot = z
  .discriminatedUnion(
    'kind',
    [
      z.strictObject({ ...common, kind: z.literal('dark') }),
      z.strictObject({ ...common, kind: z.literal('even') }),
      z.strictObject({ ...common, kind: z.literal('bare') }),
      z.strictObject({
        ...common,
        kind: z.literal('lamp'),
        across: lengthMm,
        up: lengthMm,
        distance: positiveLengthMm,
      }),
      z.strictObject({
        ...common,
        kind: z.literal('pair'),
        spacing: positiveLengthMm,
        distance: positiveLengthMm,
        turned: angleDeg.default(0),
        across: lengthMm.default(0),
        up: lengthMm.default(0),
      }),
      z.strictObject({
        ...common,
        kind: z.literal('single'),
        row: z.int().min(1).optional(),
        column: z.int().min(1).optional(),
        tube: z
          .int()
          .min(1)
          .optional()
          .describe('of a packed array, by its number from the top; it has no rows'),
      }),
    ],
    { error: 'dark, even, bare, lamp, pair or single' },
  )
  .refine(isFullySet, FULLY_SET)
  .refine((shot) => shot.photo === undefined || shot.repeats === 1, {
    path: ['repeats'],
    error: 'one photo where its name is stated',
  });

export type PlannedShot = z.infer<typeof plannedShot>;

/** A picture hung up before the array and photographed through it; no shot of a session, but a photo beside it. */
export const plannedScene = z
  .strictObject({
    ...onePhoto,
    picture: pathBeside('plan.yaml').describe(
      'what hangs there: sRGB, its white as bright as the even light',
    ),
    width: positiveLengthMm.describe('of the picture; its middle lies on the normal of the array'),
    distance: positiveLengthMm.describe('from the front face'),
  })
  .refine(isFullySet, FULLY_SET)
  .transform((scene) => ({ ...scene, kind: 'scene' as const }));

export type PlannedScene = z.infer<typeof plannedScene>;
