import { blur } from '../light/filters.js';
import type { Plane } from '../light/plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { Patches } from './patches.js';

/** Shift of the picture against the even shot, in pixels. */
export type Shift = readonly [number, number];

const SEARCH_STEPS = 6;
const SEARCH_REACH_PITCHES = 0.48;

/** The same cells, all moved by a shift. */
export function moved(cells: CellsOnPicture, [dx, dy]: Shift): CellsOnPicture {
  return { ...cells, x: cells.x.map((x) => x + dx), y: cells.y.map((y) => y + dy) };
}

/**
 * First guess of a shift within half a pitch: where the light, sampled at all cells' middles, is most uneven between
 * bright and dark (largest sum of squares).
 *
 * @param picture - linear light, dark frame off
 * @param cells - places in the even shot
 */
export function coarseShift(picture: Plane, cells: CellsOnPicture): Shift {
  const soft = blur(picture, Math.max(0.8, 0.15 * cells.pitchPx));
  const at = (x: number, y: number): number => {
    const column = Math.round(x);
    const row = Math.round(y);
    const inside = column >= 0 && row >= 0 && column < soft.width && row < soft.height;
    return inside ? Math.max(0, soft.data[row * soft.width + column]!) : 0;
  };
  const step = (SEARCH_REACH_PITCHES * cells.pitchPx) / SEARCH_STEPS;
  const side = 2 * SEARCH_STEPS + 1;
  const sums = new Float64Array(side * side);
  let best = (sums.length - 1) / 2;
  for (let n = 0; n < sums.length; n++) {
    const dx = ((n % side) - SEARCH_STEPS) * step;
    const dy = (Math.floor(n / side) - SEARCH_STEPS) * step;
    for (let k = 0; k < cells.x.length; k++) sums[n]! += at(cells.x[k]! + dx, cells.y[k]! + dy) ** 2;
    if (sums[n]! > sums[best]!) best = n;
  }
  // Vertex of a parabola through the best step and its neighbours; none at the rim of the search.
  const vertex = (stride: number, place: number): number => {
    if (place === 0 || place === side - 1) return 0;
    const [before, here, after] = [sums[best - stride]!, sums[best]!, sums[best + stride]!];
    const bend = before - 2 * here + after;
    return bend < 0 ? (before - after) / (2 * bend) : 0;
  };
  const [column, row] = [best % side, Math.floor(best / side)];
  return [
    (column - SEARCH_STEPS + vertex(1, column)) * step,
    (row - SEARCH_STEPS + vertex(side, row)) * step,
  ];
}

/** A shift with its standard uncertainty in pixels. */
export interface ShiftStep {
  readonly shift: Shift;
  readonly uncertaintyPx: number;
}

/**
 * One Gauss–Newton step towards the shift that leaves the least residual, all cells moving together.
 *
 * @param slopes - derivatives of the patches by the cell's place
 * @param guides - cells that have light enough to tell by
 * @param flux - lights of the cells
 * @param residual - picture minus model
 * @param weights - 1/variance of each pixel
 * @param width - picture width
 */
export function shiftStep(
  patches: Patches,
  slopes: { byX: Float32Array; byY: Float32Array },
  guides: readonly number[],
  flux: Float64Array,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
): ShiftStep {
  const [alongX, alongY] = [new Float32Array(residual.length), new Float32Array(residual.length)];
  for (const k of guides) {
    let at = patches.start[k]!;
    for (let row = 0; row < patches.height[k]!; row++) {
      let pixel = (patches.top[k]! + row) * width + patches.left[k]!;
      for (const end = at + patches.width[k]!; at < end; at++, pixel++) {
        alongX[pixel]! += flux[k]! * slopes.byX[at]!;
        alongY[pixel]! += flux[k]! * slopes.byY[at]!;
      }
    }
  }
  let [xx, xy, yy, x, y] = [0, 0, 0, 0, 0];
  for (let pixel = 0; pixel < residual.length; pixel++) {
    const weight = weights[pixel]!;
    if (weight === 0) continue;
    const [byX, byY] = [alongX[pixel]!, alongY[pixel]!];
    xx += weight * byX * byX;
    xy += weight * byX * byY;
    yy += weight * byY * byY;
    x += weight * byX * residual[pixel]!;
    y += weight * byY * residual[pixel]!;
  }
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 1e-12 * xx * yy)) return { shift: [0, 0], uncertaintyPx: Number.POSITIVE_INFINITY };
  return {
    shift: [(yy * x - xy * y) / determinant, (xx * y - xy * x) / determinant],
    uncertaintyPx: Math.sqrt((xx + yy) / 2 / determinant),
  };
}
