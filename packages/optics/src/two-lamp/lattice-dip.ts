import { type ArrayGeometry, requireArray } from '../array/array.js';
import { rowShift, rowStep } from '../array/layout.js';
import { requireNotNegative, requireWhole } from '../check.js';
import { isSeparate } from './criterion.js';

/** How one pair of lamps fares when it lies anywhere on the lattice. */
export interface NudgedDip {
  readonly meanDip: number;
  /** Share of the nudges at which the dip is above 0 and at least the required one. */
  readonly shareSeparate: number;
}

/** Cells looked at beyond the lamps' images on every side. */
const MARGIN_CELLS = 3;

/**
 * The dip as the cells themselves show it, averaged over sideways nudges of a pair of lamps side by side.
 *
 * Each lamp's peak is the brightest cell on its half of the picture; the valley is the highest pass between the two,
 * from cell to neighbouring cell. A lamp in a blind gap, or two lamps in neighbouring cells, give a dip of 0.
 *
 * @param response - one lamp's light in a cell at the given place from its image, both in pitches
 * @param separationCells - between the lamps' images, in pitches
 * @param required - the least dip that counts as separate
 * @param nudges - how many places on the lattice, evenly spread over one cell by the R2 sequence
 *   (M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018)
 */
export function nudgedDip(
  array: ArrayGeometry,
  response: (across: number, up: number) => number,
  separationCells: number,
  required: number,
  nudges: number,
): NudgedDip {
  requireArray(array);
  requireNotNegative('separationCells', separationCells);
  requireWhole('nudges', nudges, 1);
  let sum = 0;
  let separate = 0;
  for (let i = 0; i < nudges; i++) {
    const across = ((i + 0.5) * 0.7548776662466927) % 1;
    const up = (((i + 0.5) * 0.5698402909980532) % 1) * rowStep(array);
    const dip = latticeDip(array, response, separationCells / 2, across, up);
    sum += dip;
    if (isSeparate(dip, required)) separate++;
  }
  return { meanDip: sum / nudges, shareSeparate: separate / nudges };
}

interface Cell {
  readonly across: number;
  readonly up: number;
  readonly light: number;
}

function latticeDip(
  array: ArrayGeometry,
  response: (across: number, up: number) => number,
  half: number,
  nudgeAcross: number,
  nudgeUp: number,
): number {
  const step = rowStep(array);
  const columns = Math.ceil(half) + MARGIN_CELLS;
  const cells: Cell[] = [];
  for (let row = -MARGIN_CELLS; row <= MARGIN_CELLS; row++) {
    const up = row * step - nudgeUp;
    for (let column = -columns; column <= columns; column++) {
      const across = column + rowShift(array, Math.abs(row)) - nudgeAcross;
      const light = response(across + half, up) + response(across - half, up);
      if (light > 0) cells.push({ across, up, light });
    }
  }
  const left = brightest(cells.filter((cell) => cell.across < 0));
  const right = brightest(cells.filter((cell) => cell.across >= 0));
  if (left === undefined || right === undefined) return 0;
  const reach = array.arrangement === 'hexagonal' ? 1.1 : 1.5;
  return 1 - highestPass(cells, left, right, reach) / Math.min(left.light, right.light);
}

function brightest(cells: readonly Cell[]): Cell | undefined {
  return cells.reduce<Cell | undefined>(
    (best, cell) => (best && best.light >= cell.light ? best : cell),
    undefined,
  );
}

/** The light of the darkest cell on the best way from one cell to the other; 0 where dark cells part them. */
function highestPass(cells: readonly Cell[], from: Cell, to: Cell, reach: number): number {
  const left = new Set(cells);
  const shore = new Set([from]); // cells that touch the flooded ones; the brightest is flooded next
  let pass = Infinity;
  while (shore.size > 0) {
    const next = brightest([...shore])!;
    pass = Math.min(pass, next.light);
    if (next === to) return pass;
    shore.delete(next);
    left.delete(next);
    for (const cell of left) {
      if (Math.hypot(cell.across - next.across, cell.up - next.up) <= reach) shore.add(cell);
    }
  }
  return 0;
}
