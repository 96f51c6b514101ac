import { type Random, seededRandom } from '@twolamp/optics';
import type { Plan } from './plan/plan-format.js';

/** One random stream for each thing left to chance, so that changing one leaves the others as they were. */
export const STREAM = {
  placement: 1,
  pointing: 2,
  transmission: 3,
  faults: 4,
  crosstalk: 5,
  unevenness: 6,
  drift: 7,
  stack: 8,
  /** And one for each tube. */
  firstTracing: 1_000_000,
  /** And one for each photo. */
  firstPhoto: 1000,
} as const;

/** What differs from session to session of one array: the even light, the camera's drift, the noise of photos. */
export function sessionRandom(plan: Plan, stream: number): Random {
  return seededRandom(plan['session-seed'] ?? plan.seed, stream);
}
