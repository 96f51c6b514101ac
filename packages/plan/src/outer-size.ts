import { latticePlace } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';

/** Outside of the array's tubes, without a frame: across and up at one end, mm. */
export interface OuterSize {
  readonly acrossMm: number;
  readonly upMm: number;
}

/** How large the array is at the sheet and at the front grid, from rim to rim of the outermost bores. */
export function outerSize(array: ArraySpec): { readonly back: OuterSize; readonly front: OuterSize } {
  const corners = [1, 2].flatMap((row) => [
    latticePlace(array, row, 1),
    latticePlace(array, row, array.columns),
  ]);
  const across = corners.map((place) => place.across);
  const columns = Math.max(...across) - Math.min(...across);
  const rows = 2 * latticePlace(array, 1, 1).up;
  const sizeAt = (pitchMm: number): OuterSize => ({
    acrossMm: columns * pitchMm + array.tubeBoreMm,
    upMm: rows * pitchMm + array.tubeBoreMm,
  });
  return { back: sizeAt(array.backPitchMm), front: sizeAt(array.frontPitchMm) };
}
