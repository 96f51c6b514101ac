import { solvePositive } from '@twolamp/numeric';
import { Matrix } from 'ml-matrix';
import { gatherBackground, restOver } from './background.js';
import type { BackgroundPlane } from './background-plane.js';
import { cellEquations, type NormalMatrix, paint, type WeightedPicture } from './normal-equations.js';
import { projectPatch } from './patches.js';
import type { Region } from './region.js';
import { ownRoom, type Room } from './room.js';
import { addScaled, dot, solveNormal } from './solve-normal.js';
import type { Stamps } from './stamps.js';
import type { CoarseLight } from './wings.js';

/** Lights of all cells and the background under them. Pictures are as large as the photo, 0 outside the region. */
export interface ShotSolution {
  readonly flux: Float64Array;
  readonly background: BackgroundPlane;
  readonly model: Float32Array;
  readonly residual: Float32Array;
  readonly matrix: NormalMatrix;
}

/**
 * All cells' lights and the background by one weighted least squares; the background's few dense columns are
 * eliminated by their Schur complement.
 *
 * @param picture - linear light, with weights 1/variance
 * @param region - pixels that count, cells that meet
 * @param stamps - profiles on the pixels
 * @param parts - pictures of wings whose amount is fitted as well
 * @param fixed - wings that are known, taken off first
 * @param room - gives the solution's pictures
 */
export function solveShot(
  picture: WeightedPicture,
  region: Region,
  stamps: Stamps,
  parts: readonly CoarseLight[],
  fixed: CoarseLight | null,
  room: Room = ownRoom,
): ShotSolution {
  const { width } = region;
  const under = gatherBackground(picture, region, parts, fixed, room);
  const { square, side } = under;
  const { matrix, right, plane } = cellEquations(stamps, region.pairs, under.cleared);
  const crossed = [...plane, ...under.parts.map((part) => projectPatch(stamps, part, picture))];
  const cleared = crossed.map((column) => solveNormal(matrix, column).values);
  const flux = solveNormal(matrix, right).values;
  crossed.forEach((column, m) => {
    for (let other = m; other < crossed.length; other++) {
      const value = square.get(m, other) - dot(column, cleared[other]);
      square.set(m, other, value);
      square.set(other, m, value);
    }
    side.set(m, 0, side.get(m, 0) - dot(column, flux));
  });
  const amounts = backgroundAmounts(square, side);
  cleared.forEach((column, m) => {
    addScaled(flux, -amounts[m], column);
  });

  const model = room.take(picture.data.length);
  paint(stamps, flux, model, width);
  const residual = restOver(picture.data, region, under, amounts, model);
  return { flux, background: [amounts[0], amounts[1], amounts[2]], model, residual, matrix };
}

/** Least squares amounts; 0 of a column without any weight. */
function backgroundAmounts(square: Matrix, side: Matrix): Float64Array {
  const kept = Array.from({ length: square.rows }, (_, m) => m).filter((m) => square.get(m, m) > 0);
  const scale = kept.map((m) => 1 / Math.sqrt(square.get(m, m)));
  const block = new Matrix(
    kept.map((m, r) => kept.map((other, c) => square.get(m, other) * (scale[r] * scale[c]))),
  );
  for (let r = 0; r < kept.length; r++) block.set(r, r, block.get(r, r) + 1e-9);
  const solved = solvePositive(block, Matrix.columnVector(kept.map((m, r) => side.get(m, 0) * scale[r])));
  const result = new Float64Array(square.rows);
  kept.forEach((m, r) => {
    result[m] = solved.get(r, 0) * scale[r];
  });
  return result;
}
