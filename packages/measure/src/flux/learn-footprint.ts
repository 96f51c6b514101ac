import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Plane } from '../light/plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { type CoarseLight, lightAt } from './halo.js';
import {
  COEFFICIENTS,
  type Footprint,
  FootprintBasis,
  HARMONICS,
  KNOTS,
  knotSquare,
  normalised,
  REACH,
} from './footprint.js';

/** Most cells a footprint is learned from, spread evenly: more bring little. */
const MAX_TEACHERS = 200;
const MAX_PIXELS = 8_000;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
/** Strength of the smoothing and of the pull to 0 at the reach, against the data's own say. */
const SMOOTHING = 2e-4;
const HOLD_BACK = 1;
const BEND = [1, -2, 1];
/** Beyond this radius the spline is drawn towards 0: what is left there belongs to the halo. */
const SOFT_RADIUS = 0.62;

/**
 * The footprint that explains the picture best, by linear least squares over the pixels nearest to the teaching cells,
 * with the light of overlapping neighbours and the halo in the model: between cells, tails of the footprint and halo
 * look alike, and the tails are held back so that the halo takes what it can.
 *
 * @param picture - light with the floor off, halo still in
 * @param weights - 1/variance of each pixel
 * @param cells - places of all cells
 * @param flux - their lights so far
 * @param teachers - cells to learn from
 * @param neighboursOf - cells whose footprint overlaps a cell's
 * @param halo - the halo's parts for these lights
 */
export function learnFootprint(
  picture: Plane,
  weights: Float32Array,
  cells: CellsOnPicture,
  flux: Float64Array,
  teachers: readonly number[],
  neighboursOf: readonly (readonly number[])[],
  halo: readonly CoarseLight[],
): Footprint {
  const size = COEFFICIENTS + halo.length;
  const square = new Float64Array(size * size);
  const side = new Float64Array(size);
  const every = Math.max(1, Math.floor(teachers.length / MAX_TEACHERS));
  const chosen = teachers.filter((_, n) => n % every === 0);
  const perCell = cells.pitchPx * cells.pitchPx;
  const share = Math.min(1, MAX_PIXELS / (chosen.length * perCell));
  const most = 4 * HARMONICS * 16 + halo.length;
  const [index, value] = [new Int32Array(most), new Float64Array(most)];
  const basis = new FootprintBasis();
  let counter = 0;

  for (const teacher of chosen) {
    const reach = Math.ceil(0.75 * cells.pitchPx);
    const group = [teacher, ...neighboursOf[teacher]!];
    const [middleX, middleY] = [Math.round(cells.x[teacher]!), Math.round(cells.y[teacher]!)];
    for (let y = Math.max(0, middleY - reach); y <= Math.min(picture.height - 1, middleY + reach); y++) {
      for (let x = Math.max(0, middleX - reach); x <= Math.min(picture.width - 1, middleX + reach); x++) {
        const weight = weights[y * picture.width + x]!;
        if (weight <= 0) continue;
        const [p0, q0] = localPlace(cells, teacher, x, y);
        if (Math.abs(p0) > 0.5 || Math.abs(q0) > 0.5) continue;
        // A golden-ratio sequence picks pixels evenly without falling into step with the lattice.
        if ((counter++ * GOLDEN) % 1 >= share) continue;
        let filled = 0;
        for (const k of group) {
          if (!basis.moveTo(...localPlace(cells, k, x, y))) continue;
          const light = flux[k]! / cells.area[k]!;
          for (let h = 0; h < HARMONICS; h++) {
            for (let m = 0; m < 4; m++, filled++) {
              index[filled] = h * KNOTS + basis.first + m;
              value[filled] = light * basis.harmonics[h]! * basis.weights[m]!;
            }
          }
        }
        for (let part = 0; part < halo.length; part++, filled++) {
          index[filled] = COEFFICIENTS + part;
          value[filled] = lightAt(halo[part]!, x, y);
        }
        const target = picture.data[y * picture.width + x]!;
        for (let m = 0; m < filled; m++) {
          const scaled = weight * value[m]!;
          const row = index[m]!;
          side[row]! += scaled * target;
          // Only one half of the symmetric matrix is filled.
          for (let n = 0; n < filled; n++) {
            const column = index[n]!;
            if (column >= row) square[row * size + column]! += scaled * value[n]!;
          }
        }
      }
    }
  }
  return normalised({ coefficients: solveSoftly(square, side, size) });
}

function localPlace(cells: CellsOnPicture, k: number, x: number, y: number): [number, number] {
  const [dx, dy] = [x - cells.x[k]!, y - cells.y[k]!];
  const t = cells.toPitch;
  return [t[4 * k]! * dx + t[4 * k + 1]! * dy, t[4 * k + 2]! * dx + t[4 * k + 3]! * dy];
}

/**
 * Solves for the coefficients, lightly smoothed along s; the outer ones are drawn to 0 the more, the farther out they
 * lie, and the last three, which reach beyond, are 0.
 */
function solveSoftly(square: Float64Array, side: Float64Array, size: number): Float64Array {
  const block = new Matrix(size, size);
  for (let r = 0; r < size; r++) {
    for (let c = 0; c < size; c++) block.set(r, c, square[Math.min(r, c) * size + Math.max(r, c)]!);
  }
  const add = (r: number, c: number, value: number): void => {
    block.set(r, c, block.get(r, c) + value);
  };
  for (let h = 0; h < HARMONICS; h++) {
    const at = h * KNOTS;
    let mean = 0;
    for (let knot = 0; knot < KNOTS; knot++) mean += block.get(at + knot, at + knot) / KNOTS;
    for (let knot = 0; knot < KNOTS; knot++) {
      const outside = Math.max(0, Math.sqrt(knotSquare(knot)) - SOFT_RADIUS) / (REACH - SOFT_RADIUS);
      add(at + knot, at + knot, mean * (1e-9 + HOLD_BACK * outside ** 2 + (knot >= KNOTS - 3 ? 1e6 : 0)));
      if (knot < 1 || knot > KNOTS - 2) continue;
      BEND.forEach((a, m) => {
        BEND.forEach((b, n) => add(at + knot - 1 + m, at + knot - 1 + n, mean * SMOOTHING * (a * b)));
      });
    }
  }
  for (let r = COEFFICIENTS; r < size; r++) add(r, r, 1e-9 * block.get(r, r) + 1e-30);
  const solved = new CholeskyDecomposition(block).solve(Matrix.columnVector(Array.from(side)));
  return Float64Array.from({ length: COEFFICIENTS }, (_, k) => solved.get(k, 0));
}
