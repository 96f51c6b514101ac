import type { Triangulation } from '@twolamp/numeric';
import { ROW_TURN_DEG } from './tuning.js';

/**
 * The order in which an eye would read the tubes: row by row from the top, each from the left. A row goes from each tube to
 * the neighbour that lies most nearly to its right, where that one has it most nearly to its left; rows are read by the
 * mean height of their tubes. Small shifts of the photo, and of single tubes, change nothing.
 *
 * @param u - places in pitches, to the right
 * @param v - downwards
 * @param neighbours - of each place
 * @returns indices of the places in reading order
 */
export function readingOrder(
  u: ArrayLike<number>,
  v: ArrayLike<number>,
  neighbours: Triangulation['neighbours'],
): number[] {
  const beside = (k: number, side: 1 | -1): number => {
    let [best, least] = [-1, (ROW_TURN_DEG * Math.PI) / 180];
    for (const other of neighbours[k]) {
      const turn = Math.abs(Math.atan2(v[other] - v[k], side * (u[other] - u[k])));
      if (turn < least) [best, least] = [other, turn];
    }
    return best;
  };
  const right = neighbours.map((_, k) => {
    const other = beside(k, 1);
    return other >= 0 && beside(other, -1) === k ? other : -1;
  });
  const isFirst = new Array<boolean>(right.length).fill(true);
  for (const other of right) if (other >= 0) isFirst[other] = false;
  const rows: { readonly cells: number[]; readonly height: number }[] = [];
  for (let k = 0; k < right.length; k++) {
    if (!isFirst[k]) continue;
    const cells: number[] = [];
    for (let at = k; at >= 0; at = right[at]) cells.push(at);
    rows.push({ cells, height: cells.reduce((sum, cell) => sum + v[cell], 0) / cells.length });
  }
  return rows.sort((a, b) => a.height - b.height).flatMap(({ cells }) => cells);
}
