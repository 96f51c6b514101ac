import { placedResult, type Result } from '@twolamp/session';

/**
 * The result without the holes that have no tube: they are no faults, and stay out of counts and means. A packed array gets
 * the places of its tubes.
 */
export function tubesOnly(result: Result): Result {
  const placed = placedResult(result);
  return { ...placed, cells: placed.cells.filter(({ state }) => state === 'filled') };
}
