import { requirePositive, requireWhole } from '../check.js';
import type { TubeSize } from '../tube/tube.js';

/** What the layout of an array's tubes needs to know; a session's array can be handed in as it is. */
export interface ArrayGeometry {
  /** packed: tubes stacked without a grid, which has no rows and columns (both 0). */
  readonly arrangement: 'square' | 'hexagonal' | 'packed';
  /** Hexagonal only: which rows, counted from 1, sit half a pitch to the right. */
  readonly shiftedRows?: 'odd' | 'even' | undefined;
  readonly rows: number;
  readonly columns: number;
  readonly tubeLengthMm: number;
  readonly tubeBoreMm: number;
  /** Centre to centre at the sheet. */
  readonly backPitchMm: number;
  /** Centre to centre at the front grid. */
  readonly frontPitchMm: number;
  /**
   * Partly built arrays and other outlines: one string a row, one character a place: # a tube, o a hole without a tube,
   * . no hole. Absent: a tube in every place.
   */
  readonly map?: readonly string[] | undefined;
  /** Packed only: where each tube ends at the sheet, in the order of their numbers; absent until they were found. */
  readonly places?: readonly PackedPlace[] | undefined;
}

/** Where a tube of a packed array ends at the sheet, from the middle of the array, seen from the back. */
export interface PackedPlace {
  readonly acrossMm: number;
  readonly upMm: number;
}

/**
 * Refuses an array that cannot be built.
 *
 * @throws RangeError that names the bad field and says why
 */
export function requireArray(array: ArrayGeometry): void {
  if (array.arrangement !== 'packed') {
    requireWhole('rows', array.rows, 1);
    requireWhole('columns', array.columns, 1);
  }
  requirePositive('tubeLengthMm', array.tubeLengthMm);
  requirePositive('tubeBoreMm', array.tubeBoreMm);
  requirePositive('backPitchMm', array.backPitchMm);
  requirePositive('frontPitchMm', array.frontPitchMm);
  if (array.tubeBoreMm > array.backPitchMm) {
    throw new RangeError(
      `tubeBoreMm must not exceed backPitchMm (${array.backPitchMm}): the tubes would overlap, got ${array.tubeBoreMm}`,
    );
  }
  if (array.frontPitchMm < array.backPitchMm) {
    throw new RangeError(
      `frontPitchMm must not be below backPitchMm (${array.backPitchMm}): the tubes would aim inwards, their axes ` +
        `cross in front of the array, and beyond that the picture is turned over, got ${array.frontPitchMm}`,
    );
  }
  if (array.arrangement === 'hexagonal' && array.shiftedRows === undefined) {
    throw new RangeError('shiftedRows must be odd or even for a hexagonal array, got undefined');
  }
}

export function tubeOf(array: ArrayGeometry): TubeSize {
  return { boreMm: array.tubeBoreMm, lengthMm: array.tubeLengthMm };
}
