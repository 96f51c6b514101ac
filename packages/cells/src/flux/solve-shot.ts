import type { Plane } from '@twolamp/session';
import { solvePositive } from '@twolamp/numeric';
import { Matrix } from 'ml-matrix';
import { gatherBackground, restOver } from './background.js';
import type { Floor } from './floor.js';
import type { CoarseLight } from './halo.js';
import { type NormalMatrix, normalMatrix, paint, project, projectFloor } from './normal-equations.js';
import type { Patches } from './patches.js';
import type { Region } from './region.js';
import { addScaled, dot, solveNormal } from './solve-normal.js';

/** Lights of all cells and the background under them. Pictures are as large as the photo, 0 outside the region. */
export interface ShotSolution {
  readonly flux: Float64Array;
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
  const { width, height, pairs } = region;
  const background = gatherBackground(picture, region, weights, parts, fixed);
  const { square, side } = background;
  const matrix = normalMatrix(patches, pairs, weights, width);
  const crossed = [
    ...projectFloor(patches, weights, width, height),
    ...background.parts.map((image) => project(patches, weights, image, width)),
  ];
  const cleared = crossed.map((column) => solveNormal(matrix, column).values);
  const flux = solveNormal(matrix, project(patches, weights, background.target, width)).values;
  crossed.forEach((column, m) => {
    for (let other = m; other < crossed.length; other++) {
      const value = square.get(m, other) - dot(column, cleared[other]!);
      square.set(m, other, value);
      square.set(other, m, value);
    }
    side.set(m, 0, side.get(m, 0) - dot(column, flux));
  });
  const amounts = backgroundAmounts(square, side);
  cleared.forEach((column, m) => {
    addScaled(flux, -amounts[m]!, column);
  });

  const model = new Float32Array(picture.data.length);
  paint(patches, flux, model, width);
  const residual = restOver(picture, region, background, amounts, model);
  const floor: Floor = [amounts[0]!, amounts[1]!, amounts[2]!];
  return { flux, floor, model, residual, matrix };
}

/** Least squares amounts; 0 of a column without any weight. */
function backgroundAmounts(square: Matrix, side: Matrix): Float64Array {
  const kept = Array.from({ length: square.rows }, (_, m) => m).filter((m) => square.get(m, m) > 0);
  const scale = kept.map((m) => 1 / Math.sqrt(square.get(m, m)));
  const block = new Matrix(
    kept.map((m, r) => kept.map((other, c) => square.get(m, other) * (scale[r]! * scale[c]!))),
  );
  for (let r = 0; r < kept.length; r++) block.set(r, r, block.get(r, r) + 1e-9);
  const solved = solvePositive(block, Matrix.columnVector(kept.map((m, r) => side.get(m, 0) * scale[r]!)));
  const result = new Float64Array(square.rows);
  kept.forEach((m, r) => {
    result[m] = solved.get(r, 0) * scale[r]!;
  });
  return result;
}
