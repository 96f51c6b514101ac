import type { CellsOnPicture } from './cells-on-picture.js';
import type { Stamps } from './stamps.js';

/** Pixels nearer than this to a cell's middle, in pitches, are its own: no two cells' discs overlap. */
const OWN_PITCHES = 0.5;

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
    const t = cells.toPitch;
    const [a, b, c, d] = [t[4 * k], t[4 * k + 1], t[4 * k + 2], t[4 * k + 3]];
    // p² + q² is a parabola along a row.
    const bend = a * a + c * c;
    const left = stamps.left[k] - cells.x[k];
    for (let row = 0; row < stamps.height[k]; row++) {
      const dy = stamps.top[k] + row - cells.y[k];
      const middle = (-dy * (a * b + c * d)) / bend;
      const least = (dy * (a * d - b * c)) ** 2 / bend;
      const half = Math.sqrt(Math.max(0, OWN_PITCHES * OWN_PITCHES - least) / bend);
      const first = half > 0 ? Math.max(0, Math.ceil(middle - half - left)) : 0;
      const last = half > 0 ? Math.min(stamps.width[k] - 1, Math.floor(middle + half - left)) : -1;
      from[row] = first;
      end[row] = Math.max(first, last + 1);
    }
  }
}
