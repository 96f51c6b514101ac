import { determinant, inverse, Matrix } from 'ml-matrix';
import { type CellsOnPicture, placedAt } from './cells-on-picture.js';
import type { Shift } from './coarse-shift.js';
import { lampImage } from './lamp-image.js';
import type { WeightedPicture } from './normal-equations.js';
import { makeSlopes, type Stamps } from './stamps.js';
import { LEAST_DRAWN_APART } from './tuning.js';

/** The same cells, all moved by a shift. */
export function moved(cells: CellsOnPicture, [dx, dy]: Shift): CellsOnPicture {
  return placedAt(cells, shifted(cells.x, dx), shifted(cells.y, dy));
}

function shifted(places: Float64Array, by: number): Float64Array {
  const moved = new Float64Array(places.length);
  for (let k = 0; k < moved.length; k++) moved[k] = places[k] + by;
  return moved;
}

/** A shift with its standard uncertainty in pixels. */
export interface ShiftStep {
  readonly shift: Shift;
  readonly uncertaintyPx: number;
}

const UNKNOWN: ShiftStep = { shift: [0, 0], uncertaintyPx: Number.POSITIVE_INFINITY };

/** Lights of the cells, and picture minus model with its weights. */
export interface LitStamps {
  readonly cells: CellsOnPicture;
  readonly stamps: Stamps;
  readonly flux: Float64Array;
  readonly residual: WeightedPicture;
}

/**
 * One Gauss–Newton step towards the shift that leaves the least residual, all cells moving together.
 *
 * A lamp that is seen aslant lights only that side of a dark bore that lies away from the lamp's image: spots are drawn
 * apart from there, in proportion to their distance, which is no shift of the camera and is fitted as well.
 *
 * @param guides - cells that have light enough to show a shift
 */
export function shiftStep(lit: LitStamps, guides: readonly number[]): ShiftStep {
  const { cells, flux } = lit;
  const image = lampImage(cells, flux);
  const sums = new Float64Array(COLUMNS * COLUMNS);
  const side = new Float64Array(COLUMNS);
  const slopesOf = makeSlopes(lit.stamps);
  for (const k of guides) {
    const { byX, byY } = slopesOf(k);
    const [dx, dy] = image
      ? [(cells.x[k] - image[0]) / cells.pitchPx, (cells.y[k] - image[1]) / cells.pitchPx]
      : [0, 0];
    const own = stampSums(lit, k, byX, byY);
    // Unknowns: shift to the right and down, and the spread from the lamp's image.
    const by = [
      [1, 0],
      [0, 1],
      [dx, dy],
    ];
    by.forEach(([rx, ry], i) => {
      side[i] += flux[k] * (rx * own.x + ry * own.y);
      by.forEach(([cx, cy], j) => {
        const product = rx * cx * own.xx + (rx * cy + ry * cx) * own.xy + ry * cy * own.yy;
        sums[i * COLUMNS + j] += flux[k] ** 2 * product;
      });
    });
  }
  const normal = Matrix.from1DArray(COLUMNS, COLUMNS, sums);
  const together = solveStep(normal, side, 2);
  if (!together || !image) return together ?? UNKNOWN;
  const drawnApart = solveStep(normal, side, 3);
  return drawnApart && drawnApart.last > LEAST_DRAWN_APART * cells.pitchPx ? drawnApart : together;
}

const COLUMNS = 3;

/** Weighted sums over one cell's stamp of its slopes with each other and with the residual. */
function stampSums(
  { stamps: { left, top, width: across, height }, residual: { data, weights, width } }: LitStamps,
  k: number,
  byX: Float32Array,
  byY: Float32Array,
) {
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let x = 0;
  let y = 0;
  for (let row = 0, at = 0; row < height[k]; row++) {
    let pixel = (top[k] + row) * width + left[k];
    for (const end = at + across[k]; at < end; at++, pixel++) {
      const weighted = weights[pixel] * byX[at];
      xx += weighted * byX[at];
      xy += weighted * byY[at];
      yy += weights[pixel] * byY[at] * byY[at];
      x += weighted * data[pixel];
      y += weights[pixel] * byY[at] * data[pixel];
    }
  }
  return { xx, xy, yy, x, y };
}

/** Step by the first `size` unknowns; null where they can't be separated. */
function solveStep(normal: Matrix, right: Float64Array, size: number) {
  const scale = Array.from({ length: size }, (_, i) => 1 / Math.sqrt(normal.get(i, i)));
  const scaled = new Matrix(scale.map((own, i) => scale.map((other, j) => own * other * normal.get(i, j))));
  if (!scale.every(Number.isFinite) || !(determinant(scaled) > 1e-12)) return null;
  const inverted = inverse(scaled);
  const step = scale.map(
    (own, i) => own * scale.reduce((sum, other, j) => sum + inverted.get(i, j) * other * right[j], 0),
  );
  const sigma = scale.map((own, i) => own * Math.sqrt(inverted.get(i, i)));
  return {
    shift: [step[0], step[1]] as Shift,
    uncertaintyPx: Math.hypot(sigma[0], sigma[1]) / Math.SQRT2,
    last: step[size - 1],
  };
}
