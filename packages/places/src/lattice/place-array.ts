import { mapAt } from '@twolamp/optics';
import { type ArraySpec, InputError } from '@twolamp/session';
import { keyOf } from './grow.js';
import {
  bestPlacements,
  indicesOf,
  isExpectedLit,
  type LitPoint,
  type Placement,
  rowAndColumn,
  spanOf,
} from './place.js';
import { DARK_LINE_SHARE, HEALTHY, LIT_LINE_SHARE, MOST_STRAYS, STRAY_SHARE } from './tuning.js';

/** A lattice point where a spot was found, 1 = as bright as is typical around it. */
export interface SpotPoint extends LitPoint {
  readonly strength: number;
  /** Whether the picture's edge cuts the spot; such a one need not be stated. */
  readonly cut: boolean;
}

/** Fewest tubes of an outer row or column that say by their darkness that it isn't there. */
const LEAST_LINE = 4;

/**
 * Decides where in the lattice the array lies.
 *
 * @param array - as stated
 * @param points - lattice points that show a spot
 * @param toPhoto - pixel of the photo that shows a lattice point, for messages
 * @param photo - its name, for messages
 * @throws InputError where the stated rows × columns or the map don't fit the spots, or fit in more than one place
 */
export function placeArray(
  array: ArraySpec,
  points: readonly SpotPoint[],
  toPhoto: (i: number, j: number) => readonly [number, number],
  photo: string,
): Placement {
  const healthy = points.filter(({ strength }) => strength >= HEALTHY);
  const placements = placementsOf(array, healthy);
  const span = spanOf(array, healthy);
  const found = `${span.rows} × ${span.columns} cells found, ${array.rows} × ${array.columns} stated`;
  const place = placements[0];
  if (!place || !fits(array, place, healthy)) {
    requireShiftedRows(array, healthy, photo);
    throw new InputError(photo, misfit(array, place, healthy, found), expectedFor(array, found));
  }
  const settled = placements.length === 1 ? place : settleByWeakSpots(array, placements, points);
  if (settled) {
    requireLitRim(array, settled, points, photo);
    return settled;
  }
  const [one, other] = [placements[0]!, placements.at(-1)!].map((place) => {
    const [x, y] = toPhoto(...indicesOf(array, place, 1, 1));
    return `x ${Math.round(x)}, y ${Math.round(y)}`;
  });
  throw new InputError(
    photo,
    `${found}, and they fit in more than one place: row 1 column 1 may be the place at ${one} px or the one at ${other} px`,
    'some light from every outermost row and column, or the rows and columns that are really lit',
  );
}

/** Where the whole spots fit best; spots that the picture's edge cuts decide between equals only. */
function placementsOf(array: ArraySpec, healthy: readonly SpotPoint[]): Placement[] {
  const whole = healthy.filter(({ cut }) => !cut);
  const { placements } = bestPlacements(array, whole);
  const onPlaces = placements.map(
    (place) =>
      healthy.filter((point) => {
        const { row, column } = rowAndColumn(array, place, point);
        return isExpectedLit(array, row, column);
      }).length,
  );
  const most = onPlaces.reduce((best, count) => Math.max(best, count), 0);
  return placements.filter((_, n) => onPlaces[n] === most);
}

/** Healthy spots where the session states no place for a tube. */
function straysOf(
  array: ArraySpec,
  place: Placement,
  healthy: readonly SpotPoint[],
): { row: number; column: number }[] {
  return healthy
    .filter(({ cut }) => !cut)
    .map((point) => rowAndColumn(array, place, point))
    .filter(({ row, column }) => mapAt(array, row, column) === '.');
}

/** Whether hardly any light lies outside the stated places, and no row or column of it. */
function fits(array: ArraySpec, place: Placement, healthy: readonly SpotPoint[]): boolean {
  const strays = straysOf(array, place, healthy);
  if (strays.length > Math.max(MOST_STRAYS, STRAY_SHARE * healthy.length)) return false;
  return litLine(array, strays) === null;
}

/** A row or column outside the stated rows and columns of which much is lit. */
function litLine(
  array: ArraySpec,
  strays: readonly { row: number; column: number }[],
): { row: number } | { column: number } | null {
  const outside = (at: number, count: number) => at < 1 || at > count;
  for (const { row, column } of strays) {
    if (outside(row, array.rows)) {
      const lit = strays.filter((other) => other.row === row).length;
      if (lit >= Math.max(2, LIT_LINE_SHARE * array.columns)) return { row };
    }
    if (outside(column, array.columns)) {
      const lit = strays.filter((other) => other.column === column).length;
      if (lit >= Math.max(2, LIT_LINE_SHARE * array.rows)) return { column };
    }
  }
  return null;
}

function misfit(
  array: ArraySpec,
  place: Placement | undefined,
  healthy: readonly SpotPoint[],
  found: string,
): string {
  if (!place || !array.map) return found;
  const strays = straysOf(array, place, healthy);
  const named = strays
    .slice(0, 6)
    .map(({ row, column }) => `row ${row} column ${column}`)
    .join(', ');
  const more = strays.length > 6 ? ` and ${strays.length - 6} more` : '';
  return `${found}; where the map has no hole light is seen at ${named}${more} (row 0 lies above the map's first)`;
}

function expectedFor(array: ArraySpec, found: string): string {
  const inside = 'the whole array inside the picture';
  return array.map && found
    ? `a map with a row and a column for each that is lit, and ${inside}`
    : `rows and columns as in the photo, and ${inside}`;
}

/** Refuses a hexagonal array that fits once the other rows are taken for the shifted ones. */
function requireShiftedRows(array: ArraySpec, healthy: readonly SpotPoint[], photo: string): void {
  if (array.arrangement !== 'hexagonal') return;
  const shiftedRows = array.shiftedRows === 'odd' ? 'even' : 'odd';
  const other = { ...array, shiftedRows } as const;
  const place = placementsOf(other, healthy)[0];
  if (!place || !fits(other, place, healthy)) return;
  throw new InputError(
    photo,
    `${shiftedRows} rows sit half a pitch to the right, ${array.shiftedRows} stated`,
  );
}

/** Refuses an array whose outermost row or column of tubes shows no light: the map, or the count, is one too long. */
function requireLitRim(array: ArraySpec, place: Placement, points: readonly LitPoint[], photo: string): void {
  const lit = new Set(points.map(({ i, j }) => keyOf(i, j)));
  const isLit = (row: number, column: number) => lit.has(keyOf(...indicesOf(array, place, row, column)));
  const cells: { row: number; column: number }[] = [];
  for (let row = 1; row <= array.rows; row++) {
    for (let column = 1; column <= array.columns; column++) {
      if (isExpectedLit(array, row, column)) cells.push({ row, column });
    }
  }
  for (const axis of ['row', 'column'] as const) {
    const lines = cells.map((cell) => cell[axis]);
    const ends = [
      lines.reduce((least, at) => Math.min(least, at), Number.POSITIVE_INFINITY),
      lines.reduce((most, at) => Math.max(most, at), 0),
    ];
    for (const end of ends) {
      const line = cells.filter((cell) => cell[axis] === end);
      const shining = line.filter(({ row, column }) => isLit(row, column)).length;
      if (line.length < LEAST_LINE || shining >= DARK_LINE_SHARE * line.length) continue;
      throw new InputError(
        photo,
        `${axis} ${end} is stated with ${line.length} tubes and shows light from ${shining} of them`,
        array.map
          ? `some light from every outermost row and column, or a map without that ${axis}`
          : `some light from every outermost row and column, rows and columns without that ${axis}, or a map of an outline that is no rectangle (check draws one from the photo)`,
      );
    }
  }
}

/** Weaker spots decide where the healthy ones leave more than one placement; require a clear margin: noise has some too. */
function settleByWeakSpots(
  array: ArraySpec,
  candidates: readonly Placement[],
  points: readonly SpotPoint[],
): Placement | null {
  const weak = points.filter(({ strength }) => strength < HEALTHY);
  const counts = candidates.map(
    (place) =>
      weak.filter((point) => {
        const { row, column } = rowAndColumn(array, place, point);
        return isExpectedLit(array, row, column);
      }).length,
  );
  const order = counts.map((_, k) => k).sort((p, q) => counts[q]! - counts[p]!);
  const [first, second] = [order[0]!, order[1]!];
  const lead = Math.max(3, 0.2 * Math.min(array.rows, array.columns));
  return counts[first]! - counts[second]! >= lead ? candidates[first]! : null;
}
