import type { Slopes } from '../slopes.js';
import { type ArrayGeometry, requireArray } from './array.js';
import { latticePlace, type Place } from './layout.js';

/**
 * Where an array's cells stand; N cells in reading order. This is the one home of the numbering: cell (row, column)
 * of a full grid has the number (row − 1) · columns + column − 1, in other arrays missing places are skipped. Cells of a
 * packed array are numbered as they were found.
 */
export interface TubeLayout {
  readonly count: number;
  /** From 1 at the top and at the left. A packed array has none: row 0, and the tube's number from 1 as its column. */
  readonly row: Int32Array;
  readonly column: Int32Array;
  /** Place from the middle of the array, in pitches. */
  readonly across: Float64Array;
  readonly up: Float64Array;
  /** 1 where there is a tube, 0 in a hole without one. */
  readonly filled: Uint8Array;
  /** Number of the cell at a place, from 0; −1 where there is none. */
  at(row: number, column: number): number;
}

const FILLED = '#';
const UNFILLED = 'o';

const tubeLayouts = new WeakMap<ArrayGeometry, TubeLayout>();
const placeLayouts = new WeakMap<ArrayGeometry, TubeLayout>();

/** The array's tubes: places without a tube are left out. The layout of an array is worked out once. */
export function tubeLayout(array: ArrayGeometry): TubeLayout {
  return remembered(tubeLayouts, array, FILLED);
}

/** The array's tubes, and its holes without a tube. */
export function placeLayout(array: ArrayGeometry): TubeLayout {
  return remembered(placeLayouts, array, FILLED + UNFILLED);
}

function remembered(
  layouts: WeakMap<ArrayGeometry, TubeLayout>,
  array: ArrayGeometry,
  kinds: string,
): TubeLayout {
  const known = layouts.get(array);
  if (known) return known;
  const layout = array.arrangement === 'packed' ? packedLayout(array) : gridLayout(array, kinds);
  layouts.set(array, layout);
  return layout;
}

/** The map's character at a place; '.' outside the array. */
export function mapAt(array: ArrayGeometry, row: number, column: number): string {
  if (row < 1 || row > array.rows || column < 1 || column > array.columns) return '.';
  return array.map?.[row - 1]?.[column - 1] ?? FILLED;
}

function packedLayout(array: ArrayGeometry): TubeLayout {
  requireArray(array);
  const places = array.places ?? [];
  const count = places.length;
  return {
    count,
    row: new Int32Array(count),
    column: Int32Array.from(places, (_, k) => k + 1),
    across: Float64Array.from(places, ({ acrossMm }) => acrossMm / array.backPitchMm),
    up: Float64Array.from(places, ({ upMm }) => upMm / array.backPitchMm),
    filled: new Uint8Array(count).fill(1),
    at: (row, column) => (row === 0 && column >= 1 && column <= count ? column - 1 : -1),
  };
}

function gridLayout(array: ArrayGeometry, kinds: string): TubeLayout {
  requireArray(array);
  const cells = Array.from({ length: array.rows * array.columns }, (_, n) => ({
    row: Math.floor(n / array.columns) + 1,
    column: (n % array.columns) + 1,
  })).filter(({ row, column }) => kinds.includes(mapAt(array, row, column)));
  const places = cells.map(({ row, column }) => latticePlace(array, row, column));
  const numbers = new Int32Array(array.rows * array.columns).fill(-1);
  cells.forEach(({ row, column }, k) => {
    numbers[(row - 1) * array.columns + column - 1] = k;
  });
  return {
    count: cells.length,
    row: Int32Array.from(cells, ({ row }) => row),
    column: Int32Array.from(cells, ({ column }) => column),
    across: Float64Array.from(places, ({ across }) => across),
    up: Float64Array.from(places, ({ up }) => up),
    filled: Uint8Array.from(cells, ({ row, column }) => (mapAt(array, row, column) === FILLED ? 1 : 0)),
    at: (row, column) => {
      const inside = row >= 1 && row <= array.rows && column >= 1 && column <= array.columns;
      return inside ? numbers[(row - 1) * array.columns + column - 1] : -1;
    },
  };
}

/** Number of a tube, from 0, of the cell with a number from 1 among all places; −1 where there is no tube. */
export function tubeOfCell(array: ArrayGeometry, cell: number): number {
  const { row, column } = placeLayout(array);
  return tubeLayout(array).at(row[cell - 1] ?? -1, column[cell - 1] ?? -1);
}

/** Where a tube begins in the front grid. @param tube - its number, from 0 */
export function tubeFront(array: ArrayGeometry, tube: number): Place {
  const { across, up } = placeOf(array, tube);
  return { acrossMm: across * array.frontPitchMm, upMm: up * array.frontPitchMm };
}

/** Where a tube ends at the sheet. @param tube - its number, from 0 */
export function tubeBack(array: ArrayGeometry, tube: number): Place {
  const { across, up } = placeOf(array, tube);
  return { acrossMm: across * array.backPitchMm, upMm: up * array.backPitchMm };
}

/** Where a tube should look: slope of its axis, from back to front. @param tube - its number, from 0 */
export function tubeAxis(array: ArrayGeometry, tube: number): Slopes {
  const { across, up } = placeOf(array, tube);
  const perPitch = (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm;
  return { across: across * perPitch, up: up * perPitch };
}

function placeOf(array: ArrayGeometry, tube: number): Slopes {
  const { across, up } = tubeLayout(array);
  return { across: across[tube], up: up[tube] };
}
