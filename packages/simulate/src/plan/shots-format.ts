import { angleDeg, exposureS, lengthMm, positiveLengthMm } from '@twolamp/session';
import { z } from 'zod';

const common = {
  photo: z
    .string()
    .regex(/^\w[\w.-]*$/, 'a plain file name')
    .optional(),
  repeats: z.int().min(1).max(99).default(1),
  exposure: exposureS.optional().describe('set by hand; else the camera chooses'),
  iso: z.number().positive().optional(),
};

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
      z.strictObject({ ...common, kind: z.literal('single'), row: z.int().min(1), column: z.int().min(1) }),
    ],
    { error: 'dark, even, bare, lamp, pair or single' },
  )
  .refine((shot) => (shot.exposure === undefined) === (shot.iso === undefined), {
    error: 'exposure and iso together, or neither',
  })
  .refine((shot) => shot.photo === undefined || shot.repeats === 1, {
    path: ['repeats'],
    error: 'one photo where its name is stated',
  });

export type PlannedShot = z.infer<typeof plannedShot>;
