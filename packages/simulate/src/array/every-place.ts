import { type ArrayGeometry, latticePlace, type Place, tubeLayout } from '@twolamp/optics';

/** A place that may hold a tube; row and column as {@link tubeLayout} has them, place in pitches from the middle. */
export interface GridPlace {
  readonly row: number;
  readonly column: number;
  readonly across: number;
  readonly up: number;
}

/** Every place of rows × columns, with a tube or without; of a packed array every tube. */
export function everyPlace(array: ArrayGeometry): GridPlace[] {
  if (array.arrangement === 'packed') {
    const { row, column, across, up } = tubeLayout(array);
    return Array.from(row, (_, k) => ({ row: row[k], column: column[k], across: across[k], up: up[k] }));
  }
  return Array.from({ length: array.rows * array.columns }, (_, index) => {
    const [row, column] = [Math.floor(index / array.columns) + 1, (index % array.columns) + 1];
    return { row, column, ...latticePlace(array, row, column) };
  });
}

/** A place in pitches as one in mm. */
export function inMm({ across, up }: GridPlace, pitchMm: number): Place {
  return { acrossMm: across * pitchMm, upMm: up * pitchMm };
}
