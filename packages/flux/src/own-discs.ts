import type { CellsOnPicture } from './cells-on-picture.js';
import type { Stamps } from './stamps.js';

/** Pixels nearer than this to a cell's middle, in pitches, are its own: no two cells' discs overlap. */
const OWN_PITCHES = 0.5;

/**
 * Where a row of pixels lies within a distance of a cell's middle.
 *
 * @param toPitch - pixels to pitches, of all cells
 * @param k - the cell
 * @param dy - the row against the middle, px
 * @param reach - the distance, pitches
 * @param ends - gets the first and the last place, px against the middle
 * @returns false where no part of the row does
 */
export function stretchWithin(
  toPitch: Float64Array,
  k: number,
  dy: number,
  reach: number,
  ends: Float64Array,
): boolean {
  const a = toPitch[4 * k];
  const b = toPitch[4 * k + 1];
  const c = toPitch[4 * k + 2];
  const d = toPitch[4 * k + 3];
  // p² + q² is a parabola along the row.
  const bend = a * a + c * c;
  const middle = (-dy * (a * b + c * d)) / bend;
  const least = (dy * (a * d - b * c)) ** 2 / bend;
  if (least >= reach * reach) return false;
  const half = Math.sqrt((reach * reach - least) / bend);
  ends[0] = middle - half;
  ends[1] = middle + half;
  return true;
}

/** The pixels of one cell's own disc, as stretches of the rows of its stamp. */
export class OwnDiscs {
  /** First column of each row, and the one after the last; of the cell that was asked for last. */
  readonly from: Int32Array;
  readonly end: Int32Array;
  private readonly ends = new Float64Array(2);

  constructor(
    private readonly cells: CellsOnPicture,
    private readonly stamps: Stamps,
  ) {
    const highest = stamps.height.reduce((most, height) => Math.max(most, height), 0);
    this.from = new Int32Array(highest);
    this.end = new Int32Array(highest);
  }

  /** Turns to a cell. */
  take(k: number): void {
    const { cells, stamps, from, end, ends } = this;
    const left = stamps.left[k] - cells.x[k];
    for (let row = 0; row < stamps.height[k]; row++) {
      const dy = stamps.top[k] + row - cells.y[k];
      if (stretchWithin(cells.toPitch, k, dy, OWN_PITCHES, ends)) {
        from[row] = Math.max(0, Math.ceil(ends[0] - left));
        end[row] = Math.max(from[row], Math.min(stamps.width[k], Math.floor(ends[1] - left) + 1));
      } else {
        from[row] = end[row] = 0;
      }
    }
  }
}
