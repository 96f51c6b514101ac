import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Plane } from '../light/plane.js';
import { type CoarseLight, lightAt } from './halo.js';
import { type NormalMatrix, normalMatrix, paint, project, solveNormal } from './normal-equations.js';
import type { Patches } from './patches.js';
import type { Region } from './region.js';

/** Lights of all cells and the background under them. Pictures are as large as the photo, 0 outside the region. */
export interface ShotSolution {
  readonly flux: Float64Array;
  /** Amount of each part of the halo that was fitted. */
  readonly haloShares: Float64Array;
  readonly floor: Float32Array;
  readonly model: Float32Array;
  readonly residual: Float32Array;
  readonly matrix: NormalMatrix;
}

/**
 * All cells' lights and the background by one weighted least squares; the background's few dense columns are
 * eliminated by their Schur complement.
 *
 * @param picture - linear light
 * @param region - pixels that count, cells that meet
 * @param patches - footprints on the pixels
 * @param weights - 1/variance of each pixel of the picture, 0 where it doesn't count
 * @param parts - halo pictures whose amount is fitted as well
 * @param fixed - halo already known, taken off first
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
  const { pixels, pairs } = region;
  const count = pixels.length;
  const size = picture.data.length;
  const spread = (column: Float32Array): Float32Array => {
    const image = new Float32Array(size);
    for (let n = 0; n < count; n++) image[pixels[n]!] = column[n]!;
    return image;
  };
  const known = fixed ? lightOn(fixed, region) : new Float32Array(count);
  const target = new Float32Array(count);
  const weight = new Float32Array(count);
  for (let n = 0; n < count; n++) {
    target[n] = picture.data[pixels[n]!]! - known[n]!;
    weight[n] = weights[pixels[n]!]!;
  }
  const columns = [...region.floor, ...parts.map((part) => lightOn(part, region))];

  const matrix = normalMatrix(patches, pairs, weights, width);
  const crossed = columns.map((column) => project(patches, weights, spread(column), width));
  const cleared = crossed.map((column) => solveNormal(matrix, column).values);
  const flux = solveNormal(matrix, project(patches, weights, spread(target), width)).values;

  const square = Matrix.zeros(columns.length, columns.length);
  const side = Matrix.zeros(columns.length, 1);
  columns.forEach((column, m) => {
    for (let other = m; other < columns.length; other++) {
      const value = weightedDot(weight, column, columns[other]!) - dot(crossed[m]!, cleared[other]!);
      square.set(m, other, value);
      square.set(other, m, value);
    }
    side.set(m, 0, weightedDot(weight, column, target) - dot(crossed[m]!, flux));
  });
  const amounts = backgroundAmounts(square, side, region.floor.length);
  for (let m = 0; m < columns.length; m++) addScaled(flux, -amounts[m]!, cleared[m]!);

  const firstPart = region.floor.length;
  const under = new Float32Array(count);
  for (let m = 0; m < firstPart; m++) addScaled(under, amounts[m]!, columns[m]!);
  const floor = spread(under);
  addScaled(under, 1, known);
  for (let m = firstPart; m < columns.length; m++) addScaled(under, amounts[m]!, columns[m]!);
  const model = spread(under);
  paint(patches, flux, model, width);
  const residual = new Float32Array(size);
  for (let n = 0; n < count; n++) residual[pixels[n]!] = picture.data[pixels[n]!]! - model[pixels[n]!]!;
  return { flux, haloShares: amounts.slice(firstPart), floor, model, residual, matrix };
}

/** Spread light on the pixels that count. */
function lightOn(light: CoarseLight, { pixels, width }: Region): Float32Array {
  const column = new Float32Array(pixels.length);
  for (let n = 0; n < pixels.length; n++) {
    const row = Math.floor(pixels[n]! / width);
    column[n] = lightAt(light, pixels[n]! - row * width, row);
  }
  return column;
}

function addScaled<T extends Float32Array | Float64Array>(to: T, factor: number, values: T): void {
  for (let n = 0; n < to.length; n++) to[n]! += factor * values[n]!;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}

function weightedDot(weight: Float32Array, a: Float32Array, b: Float32Array): number {
  let sum = 0;
  for (let n = 0; n < a.length; n++) sum += weight[n]! * a[n]! * b[n]!;
  return sum;
}

/** Least squares amounts; those from `firstHalo` on may not be negative and are dropped one by one where they would be. */
function backgroundAmounts(square: Matrix, side: Matrix, firstHalo: number): Float64Array {
  const kept = Array.from({ length: square.rows }, (_, m) => m).filter((m) => square.get(m, m) > 0);
  for (;;) {
    const scale = kept.map((m) => 1 / Math.sqrt(square.get(m, m)));
    const block = new Matrix(
      kept.map((m, r) => kept.map((other, c) => square.get(m, other) * (scale[r]! * scale[c]!))),
    );
    for (let r = 0; r < kept.length; r++) block.set(r, r, block.get(r, r) + 1e-9);
    const solved = new CholeskyDecomposition(block).solve(
      Matrix.columnVector(kept.map((m, r) => side.get(m, 0) * scale[r]!)),
    );
    const worst = kept
      .map((m, r) => ({ m, value: solved.get(r, 0) }))
      .filter(({ m, value }) => m >= firstHalo && value < 0)
      .sort((a, b) => a.value - b.value)[0];
    if (!worst) {
      const result = new Float64Array(square.rows);
      kept.forEach((m, r) => {
        result[m] = solved.get(r, 0) * scale[r]!;
      });
      return result;
    }
    kept.splice(kept.indexOf(worst.m), 1);
  }
}
