import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Plane } from '../light/plane.js';
import { FLOOR_TERMS, type Floor, floorAt, slopeAt } from './floor.js';
import { type CoarseLight, lightAlong } from './halo.js';
import {
  type NormalMatrix,
  normalMatrix,
  paint,
  project,
  projectFloor,
  solveNormal,
} from './normal-equations.js';
import type { Patches } from './patches.js';
import type { Region } from './region.js';

/** Lights of all cells and the background under them. Pictures are as large as the photo, 0 outside the region. */
export interface ShotSolution {
  readonly flux: Float64Array;
  /** Amount of each part of the halo that was fitted. */
  readonly haloShares: Float64Array;
  readonly floor: Floor;
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
  const { width, height, runs, pairs } = region;
  const size = picture.data.length;
  const terms = FLOOR_TERMS + parts.length;
  // Along one row of pixels: the weighted picture, and the background's columns.
  const rows = Array.from({ length: terms }, () => new Float64Array(width).fill(1));
  const [known, weighted] = [new Float64Array(width), new Float64Array(width)];
  const target = new Float32Array(size);
  const pictures = parts.map(() => new Float32Array(size));
  const [square, side] = [Matrix.zeros(terms, terms), Matrix.zeros(terms, 1)];
  for (let run = 0; run < runs.length; run += 2) {
    const [from, count] = [runs[run]!, runs[run + 1]! - runs[run]!];
    const y = Math.floor(from / width);
    const x = from - y * width;
    if (fixed) lightAlong(fixed, x, y, count, known);
    for (let n = 0; n < count; n++) {
      target[from + n] = picture.data[from + n]! - known[n]!;
      rows[1]![n] = slopeAt(x + n, width);
    }
    rows[2]!.fill(slopeAt(y, height), 0, count);
    for (let part = 0; part < parts.length; part++) {
      const row = rows[FLOOR_TERMS + part]!;
      lightAlong(parts[part]!, x, y, count, row);
      for (let n = 0; n < count; n++) pictures[part]![from + n] = row[n]!;
    }
    for (let m = 0; m < terms; m++) {
      let along = 0;
      for (let n = 0; n < count; n++) {
        weighted[n] = weights[from + n]! * rows[m]![n]!;
        along += weighted[n]! * target[from + n]!;
      }
      side.set(m, 0, side.get(m, 0) + along);
      for (let other = m; other < terms; other++) {
        square.set(m, other, square.get(m, other) + dot(weighted, rows[other]!, count));
      }
    }
  }

  const matrix = normalMatrix(patches, pairs, weights, width);
  const crossed = [
    ...projectFloor(patches, weights, width, height),
    ...pictures.map((image) => project(patches, weights, image, width)),
  ];
  const cleared = crossed.map((column) => solveNormal(matrix, column).values);
  const flux = solveNormal(matrix, project(patches, weights, target, width)).values;
  for (let m = 0; m < terms; m++) {
    for (let other = m; other < terms; other++) {
      const value = square.get(m, other) - dot(crossed[m]!, cleared[other]!, flux.length);
      square.set(m, other, value);
      square.set(other, m, value);
    }
    side.set(m, 0, side.get(m, 0) - dot(crossed[m]!, flux, flux.length));
  }
  const amounts = backgroundAmounts(square, side, FLOOR_TERMS);
  for (let m = 0; m < terms; m++) {
    for (let k = 0; k < flux.length; k++) flux[k]! -= amounts[m]! * cleared[m]![k]!;
  }

  const floor: Floor = [amounts[0]!, amounts[1]!, amounts[2]!];
  const haloShares = amounts.slice(FLOOR_TERMS);
  const residual = target;
  const model = new Float32Array(size);
  paint(patches, flux, model, width);
  for (let run = 0; run < runs.length; run += 2) {
    const y = Math.floor(runs[run]! / width);
    for (let at = runs[run]!; at < runs[run + 1]!; at++) {
      let under = floorAt(floor, region, at - y * width, y);
      for (let part = 0; part < parts.length; part++) under += haloShares[part]! * pictures[part]![at]!;
      residual[at]! -= model[at]! + under;
      model[at] = picture.data[at]! - residual[at]!;
    }
  }
  return { flux, haloShares, floor, model, residual, matrix };
}

function dot(a: Float64Array, b: Float64Array, count: number): number {
  let sum = 0;
  for (let n = 0; n < count; n++) sum += a[n]! * b[n]!;
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
