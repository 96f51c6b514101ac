import type { Result } from '@twolamp/session';

/** The result without the holes that have no tube: they are no faults, and stay out of counts and means. */
export function tubesOnly(result: Result): Result {
  return { ...result, cells: result.cells.filter(({ state }) => state === 'filled') };
}
