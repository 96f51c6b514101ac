import type { CellsOnPicture } from './cells-on-picture.js';
import type { Stamps } from './stamps.js';

/** Pixels nearer than this to a cell's middle, in pitches, are its own: no two cells' discs overlap. */
const OWN_PITCHES = 0.5;

/**
 * Where a row of pixels lies within a distance of a cell's middle.
 *
 * @param toPitch - the cell's pixels to pitches
 * @param dy - the row against the middle, px
 * @param reach - the distance, pitches
 * @returns from where to where, px against the middle; the first is the larger one where no part of the row does
 */
export function stretchWithin(
  toPitch: ArrayLike<number>,
  dy: number,
  reach: number,
): readonly [from: number, to: number] {
  const [a, b, c, d] = [toPitch[0], toPitch[1], toPitch[2], toPitch[3]];
  // p² + q² is a parabola along the row.
  const bend = a * a + c * c;
  const middle = (-dy * (a * b + c * d)) / bend;
  const least = (dy * (a * d - b * c)) ** 2 / bend;
  if (least >= reach * reach) return [1, 0];
  const half = Math.sqrt((reach * reach - least) / bend);
  return [middle - half, middle + half];
}

/** The pixels of one cell's own disc, as stretches of the rows of its stamp. */
export class OwnDiscs {
  /** First column of each row, and the one after the last; of the cell that was asked for last. */
  readonly from: Int32Array;
  readonly end: Int32Array;

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
    const { cells, stamps, from, end } = this;
    const toPitch = cells.toPitch.subarray(4 * k, 4 * k + 4);
    const left = stamps.left[k] - cells.x[k];
    for (let row = 0; row < stamps.height[k]; row++) {
      const [first, last] = stretchWithin(toPitch, stamps.top[k] + row - cells.y[k], OWN_PITCHES);
      from[row] = Math.max(0, Math.ceil(first - left));
      end[row] = Math.max(from[row], Math.min(stamps.width[k], Math.floor(last - left) + 1));
    }
  }
}
