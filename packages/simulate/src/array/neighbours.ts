import { type ArrayGeometry, latticePlace, tubeLayout } from '@twolamp/optics';

/** Cells whose centres lie up to this many pitches away: the four (square) or six (hexagonal) nearest. */
const REACH = 1.1;

/** Indices of the nearest cells, in reading order; fewer at the rim. */
export function neighbours(array: ArrayGeometry, index: number, reach = REACH): number[] {
  if (array.arrangement === 'packed') {
    const { across, up } = tubeLayout(array);
    const away = (other: number) => Math.hypot(across[other] - across[index], up[other] - up[index]);
    return Array.from(across.keys()).filter((other) => other !== index && away(other) <= reach);
  }
  const { rows, columns } = array;
  const row = Math.floor(index / columns) + 1;
  const column = (index % columns) + 1;
  const place = latticePlace(array, row, column);
  const span = Math.ceil(reach) + 1;
  const found: number[] = [];
  for (let r = Math.max(1, row - span); r <= Math.min(rows, row + span); r++) {
    for (let c = Math.max(1, column - span); c <= Math.min(columns, column + span); c++) {
      const other = latticePlace(array, r, c);
      const away = Math.hypot(other.across - place.across, other.up - place.up);
      if (away > 0 && away <= reach) found.push((r - 1) * columns + c - 1);
    }
  }
  return found;
}
