import { type Random, seededRandom } from '@twolamp/optics';

/** The same photos always give the same figures. */
const SEED = 1;

/** One stream for each step that needs chance: how much one step draws changes nothing in another. */
const STREAMS = { wall: 1, resolving: 2, bowSizes: 3, bowFits: 4, prediction: 5 } as const;

/** The random numbers of one step, from their start. */
export function randomFor(step: keyof typeof STREAMS): Random {
  return seededRandom(SEED, STREAMS[step]);
}
