import { seededRandom } from '@twolamp/optics';

/** Draws from a seeded generator, in the ways that cases need. */
export interface Draw {
  /** A whole number from `low` to `high`, both included. */
  readonly whole: (low: number, high: number) => number;
  readonly chance: (share: number) => boolean;
  readonly pick: <T>(from: readonly T[]) => T;
}

export function drawFrom(seed: number): Draw {
  const random = seededRandom(seed);
  const whole = (low: number, high: number) => low + Math.floor(random.uniform() * (high - low + 1));
  return {
    whole,
    chance: (share) => random.uniform() < share,
    pick: (from) => from[whole(0, from.length - 1)]!,
  };
}
