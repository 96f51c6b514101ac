import { angleDeg, lengthMm, positiveLengthMm } from '@twolamp/session';
import { z } from 'zod';

const place = { row: z.int().min(1), column: z.int().min(1) };
const count = z.int().min(0).default(0);

const listed = z.discriminatedUnion(
  'fault',
  [
    z.strictObject({ ...place, fault: z.literal('blocked') }),
    z.strictObject({ ...place, fault: z.literal('weak'), transmission: z.number().gt(0).lt(1) }),
    z.strictObject({
      ...place,
      fault: z.literal('bent'),
      bow: positiveLengthMm,
      direction: angleDeg.default(0).describe('towards which the middle stands out; 0 = right, 90 = up'),
    }),
    z.strictObject({ ...place, fault: z.literal('misaimed'), across: lengthMm, up: lengthMm }),
    z.strictObject({ ...place, fault: z.literal('open') }),
    z.strictObject({
      ...place,
      fault: z.literal('leaky'),
      to: z.strictObject(place),
      share: z.number().gt(0).lt(1),
    }),
  ],
  { error: 'blocked, weak, bent, misaimed, open or leaky' },
);

const LEAST_FIRST = 'the least first, then the most';

function inOrder([least, most]: readonly [number, number]): boolean {
  return least <= most;
}

/** Least and most of what is drawn by chance. */
const lengths = z.tuple([positiveLengthMm, positiveLengthMm]).refine(inOrder, LEAST_FIRST);
const oneShare = z.number().gt(0).lt(1);
const shares = z.tuple([oneShare, oneShare]).refine(inOrder, LEAST_FIRST);

/** Faults named one by one, and faults strewn by chance. */
export const faultsInput = z
  .strictObject({
    list: z.array(listed).default([]),
    blocked: count,
    'blocked-clusters': count,
    'cluster-size': z.int().min(2).max(60).default(5),
    weak: count,
    bent: count,
    misaimed: count,
    open: count,
    leaky: count.describe('strewn over the tubes of the single shots first: elsewhere nobody can see a leak'),
    'weak-transmission': shares.default([0.35, 0.8]),
    bow: lengths.default([1, 2.5]),
    shift: lengths.default([0.6, 1.5]).describe('of the front end of a misaimed tube'),
    'leak-share': shares.default([0.06, 0.2]),
    'open-hole': positiveLengthMm
      .optional()
      .describe('width of an empty hole; 0.95 back pitches where left out'),
  })
  .prefault({});

/** Fields of faults strewn by chance that say how many. */
export const STREWN_FAULTS = [
  'blocked',
  'blocked-clusters',
  'weak',
  'bent',
  'misaimed',
  'open',
  'leaky',
] as const;

type PlannedFaults = z.infer<typeof faultsInput>;
export type ListedFault = PlannedFaults['list'][number];
