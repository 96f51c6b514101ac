import { angleDeg } from '@twolamp/session';
import { z } from 'zod';

const count = z.int().min(0).max(100).default(0);

/** How the tubes of a packed array lie in their box or ring. */
export const packingInput = z
  .strictObject({
    outline: z.enum(['box', 'ring']).default('ring'),
    aspect: z
      .number()
      .min(0.2)
      .max(5)
      .default(4 / 3)
      .describe('width of the box over its height'),
    turn: angleDeg.default(0).describe('of the rows, against the horizontal'),
    breaks: count.describe('patches of tubes that lie turned against those around'),
    slips: count.describe('rows that have slid past the next'),
    gaps: count.describe('places where rows stand apart'),
    'diameter-scatter': z.number().min(0).max(0.05).default(0).describe('relative standard deviation'),
  })
  .prefault({});

export type Packing = z.infer<typeof packingInput>;
