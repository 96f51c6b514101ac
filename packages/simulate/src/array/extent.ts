import { type ArrayGeometry, latticePlace, tubeLayout } from '@twolamp/optics';

/** Size of the cells at the sheet: from the outer edge of the first to that of the last, a pitch for each, mm. */
export function cellsExtentMm(array: ArrayGeometry): { readonly across: number; readonly up: number } {
  if (array.arrangement === 'packed') {
    const { across, up } = tubeLayout(array);
    return {
      across: (2 * farthest(across) + 1) * array.backPitchMm,
      up: (2 * farthest(up) + 1) * array.backPitchMm,
    };
  }
  const { across, up } = latticePlace(array, 1, 1);
  const second = latticePlace(array, 2, 1).across;
  return {
    across: (2 * Math.max(Math.abs(across), Math.abs(second)) + 1) * array.backPitchMm,
    up: (2 * up + 1) * array.backPitchMm,
  };
}

const farthest = (places: Float64Array): number => Math.max(...places.map(Math.abs));
