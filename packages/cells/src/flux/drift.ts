import type { Plane } from '@twolamp/session';
import { determinant, inverse, Matrix } from 'ml-matrix';
import { blur } from '../light/filters.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { lampImage } from './lamp-image.js';
import type { Patches, Slopes } from './patches.js';

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

const UNKNOWN: ShiftStep = { shift: [0, 0], uncertaintyPx: Number.POSITIVE_INFINITY };
/**
 * Spots drawn apart by less than this share of their distance from the lamp's image tell nothing: nearly black tubes draw
 * them apart by 0.05 and more, glossy ones by 0.01, of which what lights them unevenly can't be told.
 */
const LEAST_DRAWN_APART = 0.025;

/**
 * One Gauss–Newton step towards the shift that leaves the least residual, all cells moving together.
 *
 * A lamp that is seen aslant lights only that side of a dark bore that lies away from the lamp's image: spots are drawn
 * apart from there, in proportion to their distance, which is no shift of the camera and is fitted as well.
 *
 * @param cells - places of the patches
 * @param slopesOf - derivatives of a cell's patch by its place
 * @param guides - cells that have light enough to tell by
 * @param flux - lights of the cells
 * @param residual - picture minus model
 * @param weights - 1/variance of each pixel
 * @param width - picture width
 */
export function shiftStep(
  cells: CellsOnPicture,
  patches: Patches,
  slopesOf: (cell: number) => Slopes,
  guides: readonly number[],
  flux: Float64Array,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
): ShiftStep {
  const image = lampImage(cells, flux);
  const [alongX, alongY, apart] = [0, 1, 2].map(() => new Float32Array(residual.length)) as [
    Float32Array,
    Float32Array,
    Float32Array,
  ];
  for (const k of guides) {
    const [dx, dy] = image
      ? [(cells.x[k]! - image[0]) / cells.pitchPx, (cells.y[k]! - image[1]) / cells.pitchPx]
      : [0, 0];
    const slopes = slopesOf(k);
    let at = 0;
    for (let row = 0; row < patches.height[k]!; row++) {
      let pixel = (patches.top[k]! + row) * width + patches.left[k]!;
      for (const end = at + patches.width[k]!; at < end; at++, pixel++) {
        const [byX, byY] = [flux[k]! * slopes.byX[at]!, flux[k]! * slopes.byY[at]!];
        alongX[pixel]! += byX;
        alongY[pixel]! += byY;
        apart[pixel]! += dx * byX + dy * byY;
      }
    }
  }
  const [normal, right] = [Matrix.zeros(3, 3), new Float64Array(3)];
  const sides = [alongX, alongY, apart];
  for (let i = 0; i < 3; i++) {
    right[i] = weightedSum(weights, sides[i]!, residual);
    for (let j = 0; j <= i; j++) {
      const sum = weightedSum(weights, sides[i]!, sides[j]!);
      normal.set(i, j, sum);
      normal.set(j, i, sum);
    }
  }
  const together = solveStep(normal, right, 2);
  if (!together || !image) return together ?? UNKNOWN;
  const drawnApart = solveStep(normal, right, 3);
  return drawnApart && drawnApart.last > LEAST_DRAWN_APART * cells.pitchPx ? drawnApart : together;
}

function weightedSum(weights: Float32Array, a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let pixel = 0; pixel < weights.length; pixel++) {
    const weight = weights[pixel]!;
    if (weight !== 0) sum += weight * a[pixel]! * b[pixel]!;
  }
  return sum;
}

/** Step by the first `size` unknowns; null where they can't be told apart. */
function solveStep(normal: Matrix, right: Float64Array, size: number) {
  const scale = Array.from({ length: size }, (_, i) => 1 / Math.sqrt(normal.get(i, i)));
  const scaled = new Matrix(scale.map((own, i) => scale.map((other, j) => own * other * normal.get(i, j))));
  if (!scale.every(Number.isFinite) || !(determinant(scaled) > 1e-12)) return null;
  const inverted = inverse(scaled);
  const step = scale.map(
    (own, i) => own * scale.reduce((sum, other, j) => sum + inverted.get(i, j) * other * right[j]!, 0),
  );
  const sigma = scale.map((own, i) => own * Math.sqrt(inverted.get(i, i)));
  return {
    shift: [step[0]!, step[1]!] as Shift,
    uncertaintyPx: Math.hypot(sigma[0]!, sigma[1]!) / Math.SQRT2,
    last: step[size - 1]!,
  };
}
