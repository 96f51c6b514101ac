import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Plane } from '../light/plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { type CoarseLight, lightAt } from './halo.js';
import {
  type NormalMatrix,
  normalMatrix,
  overlappingPairs,
  paint,
  project,
  solveNormal,
} from './normal-equations.js';
import type { Patches } from './patches.js';

/** Pixels that count: the array and a rim around it. */
export interface Region {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** 1 for pixels that count, over the whole picture. */
  readonly mask: Uint8Array;
}

const RIM_PITCHES = 2;

/** The part of the picture within two pitches of any cell. */
export function regionOf(cells: CellsOnPicture, width: number, height: number): Region {
  const mask = new Uint8Array(width * height);
  const reach = Math.ceil(RIM_PITCHES * cells.pitchPx);
  let [left, top, right, bottom] = [width, height, 0, 0];
  for (let k = 0; k < cells.x.length; k++) {
    const x0 = Math.max(0, Math.round(cells.x[k]!) - reach);
    const x1 = Math.min(width, Math.round(cells.x[k]!) + reach + 1);
    const y0 = Math.max(0, Math.round(cells.y[k]!) - reach);
    const y1 = Math.min(height, Math.round(cells.y[k]!) + reach + 1);
    for (let y = y0; y < y1; y++) mask.fill(1, y * width + x0, y * width + x1);
    [left, top, right, bottom] = [
      Math.min(left, x0),
      Math.min(top, y0),
      Math.max(right, x1),
      Math.max(bottom, y1),
    ];
  }
  return { left, top, width: right - left, height: bottom - top, mask };
}

/** Terms of the floor: a sloping plane of stray light over the picture. */
export const FLOOR_TERMS = 3;

/** Background columns as pictures: the floor's terms, then each part of the halo. */
function backgroundColumns(picture: Plane, region: Region, parts: readonly CoarseLight[]): Float32Array[] {
  const columns = Array.from(
    { length: FLOOR_TERMS + parts.length },
    () => new Float32Array(picture.data.length),
  );
  forEachCounted(picture, region, (at, x, y) => {
    const u = (2 * (x - region.left)) / region.width - 1;
    const v = (2 * (y - region.top)) / region.height - 1;
    columns[0]![at] = 1;
    columns[1]![at] = u;
    columns[2]![at] = v;
    for (let n = 0; n < parts.length; n++) columns[FLOOR_TERMS + n]![at] = lightAt(parts[n]!, x, y);
  });
  return columns;
}

export function forEachCounted(
  picture: Plane,
  region: Region,
  visit: (at: number, x: number, y: number) => void,
): void {
  for (let y = region.top; y < region.top + region.height; y++) {
    for (let x = region.left; x < region.left + region.width; x++) {
      const at = y * picture.width + x;
      if (region.mask[at]) visit(at, x, y);
    }
  }
}

/** Lights of all cells and the background under them. */
export interface ShotSolution {
  readonly flux: Float64Array;
  /** Amount of each background column. */
  readonly background: Float64Array;
  /** Picture of the floor alone, of floor and halo, of the whole model, and what is left over. */
  readonly floorLight: Float32Array;
  readonly backgroundLight: Float32Array;
  readonly model: Float32Array;
  readonly residual: Float32Array;
  readonly matrix: NormalMatrix;
}

/**
 * All cells' lights and the background by one weighted least squares; the background's few dense columns are
 * eliminated by their Schur complement.
 *
 * @param picture - linear light
 * @param region - pixels that count
 * @param patches - footprints on the pixels
 * @param weights - 1/variance of each pixel, 0 where it doesn't count
 * @param parts - halo pictures whose amount is fitted as well
 * @param fixed - background already known (the halo of earlier rounds), taken off first
 */
export function solveShot(
  picture: Plane,
  region: Region,
  patches: Patches,
  weights: Float32Array,
  parts: readonly CoarseLight[],
  fixed: CoarseLight | null,
): ShotSolution {
  const { width } = picture;
  const known = new Float32Array(picture.data.length);
  if (fixed) forEachCounted(picture, region, (at, x, y) => (known[at] = lightAt(fixed, x, y)));
  const target = picture.data.map((light, at) => light - known[at]!);
  const matrix = normalMatrix(patches, overlappingPairs(patches), weights, width);
  const columns = backgroundColumns(picture, region, parts);
  const crossed = columns.map((column) => project(patches, weights, column, width));
  const right = project(patches, weights, target, width);
  const flux = solveNormal(matrix, right).values;
  const cleared = crossed.map((column) => solveNormal(matrix, column).values);

  const size = columns.length;
  const square = Matrix.zeros(size, size);
  const side = Matrix.zeros(size, 1);
  const dot = (a: Float64Array, b: Float64Array): number =>
    a.reduce((sum, value, k) => sum + value * b[k]!, 0);
  for (let m = 0; m < size; m++) {
    const weighted = columns[m]!.map((value, at) => value * weights[at]!);
    for (let n = m; n < size; n++) {
      let sum = 0;
      const other = columns[n]!;
      for (let at = 0; at < other.length; at++) sum += weighted[at]! * other[at]!;
      const value = sum - dot(crossed[m]!, cleared[n]!);
      square.set(m, n, value);
      square.set(n, m, value);
    }
    let sum = 0;
    for (let at = 0; at < target.length; at++) sum += weighted[at]! * target[at]!;
    side.set(m, 0, sum - dot(crossed[m]!, flux));
  }
  const background = amounts(square, side, FLOOR_TERMS);
  for (let m = 0; m < size; m++) {
    const amount = background[m]!;
    const column = cleared[m]!;
    for (let k = 0; k < flux.length; k++) flux[k]! -= amount * column[k]!;
  }

  const addUp = (start: Float32Array, from: number, to: number): Float32Array =>
    start.map((value, at) => {
      let sum = value;
      for (let m = from; m < to; m++) sum += background[m]! * columns[m]![at]!;
      return sum;
    });
  const floorLight = addUp(new Float32Array(known.length), 0, FLOOR_TERMS);
  const haloLight = addUp(known, FLOOR_TERMS, size);
  const backgroundLight = floorLight.map((value, at) => value + haloLight[at]!);
  const model = backgroundLight.slice();
  paint(patches, flux, model, width);
  const residual = picture.data.map((light, at) => (region.mask[at] ? light - model[at]! : 0));
  return { flux, background, floorLight, backgroundLight, model, residual, matrix };
}

/** Least squares amounts; those from `firstHalo` on may not be negative and are dropped one by one where they would be. */
function amounts(square: Matrix, side: Matrix, firstHalo: number): Float64Array {
  const kept = Array.from({ length: square.rows }, (_, m) => m).filter((m) => square.get(m, m) > 0);
  for (;;) {
    const scale = kept.map((m) => 1 / Math.sqrt(square.get(m, m)));
    const block = new Matrix(
      kept.map((m, r) => kept.map((n, c) => square.get(m, n) * (scale[r]! * scale[c]!))),
    );
    for (let r = 0; r < kept.length; r++) block.set(r, r, block.get(r, r) + 1e-9);
    const solved = new CholeskyDecomposition(block).solve(
      new Matrix(kept.map((m, r) => [side.get(m, 0) * scale[r]!])),
    );
    const worst = kept
      .map((m, r) => ({ m, value: solved.get(r, 0) }))
      .filter(({ m, value }) => m >= firstHalo && value < 0)
      .sort((a, b) => a.value - b.value)[0];
    if (!worst) {
      const result = new Float64Array(square.rows);
      kept.forEach((m, r) => (result[m] = solved.get(r, 0) * scale[r]!));
      return result;
    }
    kept.splice(kept.indexOf(worst.m), 1);
  }
}
