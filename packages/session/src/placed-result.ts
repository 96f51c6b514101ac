import type { Result } from './result-format.js';

const placed = new WeakMap<Result, Result>();

/**
 * A result whose packed array knows where its tubes are, as the layout of an array asks; results of arrays with rows and
 * columns are given back as they are. For working with a result, not for writing it: the file has the places in its cells.
 */
export function placedResult(result: Result): Result {
  if (result.array.arrangement !== 'packed') return result;
  const known = placed.get(result);
  if (known) return known;
  const places = result.cells.map(({ atMm }) => ({ acrossMm: atMm.across, upMm: atMm.up }));
  const withPlaces = { ...result, array: { ...result.array, places } };
  placed.set(result, withPlaces);
  placed.set(withPlaces, withPlaces);
  return withPlaces;
}
