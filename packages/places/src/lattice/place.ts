import { mapAt } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';

/** Where row 1, column 1 of the array sits in the lattice. */
export interface Placement {
  readonly i0: number;
  readonly j0: number;
  /** Lit points that lie on stated places which let light through. */
  readonly inside: number;
}

/** A lattice point that shows light. */
export interface LitPoint {
  readonly i: number;
  readonly j: number;
}

/**
 * Lattice indices of a cell. Square: i = column, j = row. Hexagonal: j runs down and right, so i gives back half a
 * step a row, and the shifted rows sit half a pitch to the right.
 */
export function indicesOf(
  array: ArraySpec,
  place: { i0: number; j0: number },
  row: number,
  column: number,
): [number, number] {
  const j = place.j0 + row - 1;
  if (array.arrangement === 'square') return [place.i0 + column - 1, j];
  return [place.i0 + column - 1 + rowOffset(array, row), j];
}

/** Row and column of a lattice point; the inverse of {@link indicesOf}. */
export function rowAndColumn(
  array: ArraySpec,
  place: { i0: number; j0: number },
  { i, j }: LitPoint,
): { row: number; column: number } {
  const row = j - place.j0 + 1;
  const offset = array.arrangement === 'square' ? 0 : rowOffset(array, row);
  return { row, column: i - place.i0 + 1 - offset };
}

/** Whole steps by which i falls behind in a row of a hexagonal lattice. */
function rowOffset(array: ArraySpec, row: number): number {
  const shifted = (Math.abs(row) % 2 === 1) === (array.shiftedRows === 'odd') ? 1 : 0;
  const base = array.shiftedRows === 'odd' ? 0 : 1;
  return (shifted - row + base) / 2;
}

/** Lattice co-ordinates in pitches: u to the right; v in rows, downwards. */
export function coordinatesOf(hexagonal: boolean, i: number, j: number): [number, number] {
  return hexagonal ? [i + j / 2, j] : [i, j];
}

/** Whether the session lets one expect light at a place. */
export function isExpectedLit(array: ArraySpec, row: number, column: number): boolean {
  const stated = mapAt(array, row, column);
  return stated === '#' || (stated === 'o' && array.unfilled === 'open');
}

/**
 * All placements of the stated array that hold the largest number of lit points.
 *
 * @param array - stated rows, columns, arrangement, map
 * @param lit - lattice points with a spot of healthy strength
 * @returns the best placements (more than one where the lit points leave room), and how many lit points they leave out
 */
export function bestPlacements(
  array: ArraySpec,
  lit: readonly LitPoint[],
): { placements: Placement[]; outside: number } {
  const points = new Set(lit.map(({ i, j }) => `${i},${j}`));
  const rows = lit.map((point) => point.j);
  const [top, bottom] = rangeOf(rows);
  const slack = 2;
  const lowest = Math.min(top, bottom - array.rows + 1) - slack;
  const highest = Math.max(top, bottom - array.rows + 1) + slack;
  const expected = Array.from({ length: array.rows }, (_, row) =>
    Uint8Array.from({ length: array.columns }, (_, column) =>
      isExpectedLit(array, row + 1, column + 1) ? 1 : 0,
    ),
  );
  let placements: Placement[] = [];
  for (let j0 = lowest; j0 <= highest; j0++) {
    const columnOf = lit.map((point) => rowAndColumn(array, { i0: 0, j0 }, point).column);
    const [left, right] = rangeOf(columnOf);
    const first = Math.min(left, right - array.columns + 1) - slack;
    const last = Math.max(left, right - array.columns + 1) + slack;
    for (let i0 = first; i0 <= last; i0++) {
      let inside = 0;
      for (let k = 0; k < lit.length; k++) inside += expected[rows[k]! - j0]?.[columnOf[k]! - i0 - 1] ?? 0;
      const best = placements[0]?.inside ?? 0;
      if (inside > best) placements = [{ i0, j0, inside }];
      else if (inside === best && inside > 0) placements.push({ i0, j0, inside });
    }
  }
  return { placements, outside: points.size - (placements[0]?.inside ?? 0) };
}

function rangeOf(values: readonly number[]): [number, number] {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return [least, most];
}

/** Rows and columns that the lit points span. */
export function spanOf(array: ArraySpec, lit: readonly LitPoint[]): { rows: number; columns: number } {
  const hexagonal = array.arrangement === 'hexagonal';
  const [left, right] = rangeOf(lit.map(({ i, j }) => coordinatesOf(hexagonal, i, j)[0]));
  const [top, bottom] = rangeOf(lit.map((point) => point.j));
  return { rows: bottom - top + 1, columns: Math.floor(right - left) + 1 };
}
