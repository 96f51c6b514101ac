import { NormalEquations } from '@twolamp/numeric';
import { solveNonNegative } from '@twolamp/numeric/non-negative';
import { Matrix } from 'ml-matrix';
import type { RadialSpline } from './radial-spline.js';
import type { ResponseTheory } from './response-theory.js';
import { STIFFNESS, STIFFNESS_SHOTS } from './tuning.js';

/** Rows whose squares add up to the curvature penalty: second differences over uneven knots, flat on the axis. */
function bendingRows(knots: Float64Array, stiffness: number): number[][] {
  const scale = knots[5];
  const rows: number[][] = [];
  for (let j = 1; j < knots.length - 1; j++) {
    const before = (knots[j] - knots[j - 1]) / scale;
    const after = (knots[j + 1] - knots[j]) / scale;
    const strength = stiffness * Math.sqrt((before + after) / 2);
    const row = new Array<number>(knots.length).fill(0);
    row[j - 1] = (2 * strength) / (before * (before + after));
    row[j] = (-2 * strength) / (before * after);
    row[j + 1] = (2 * strength) / (after * (before + after));
    rows.push(row);
  }
  const first = (knots[1] - knots[0]) / scale;
  const axis = new Array<number>(knots.length).fill(0);
  axis[0] = (-stiffness * Math.sqrt(first)) / (2 * first * first);
  axis[1] = -axis[0];
  rows.push(axis);
  return rows;
}

/**
 * The equations in drops from knot to knot: values are their sums from each knot outwards, v = S d with S upper triangular
 * of ones, so that Sᵀ A S and Sᵀ b are running sums. The diagonal is raised by a trace, for flat stretches.
 */
function inDrops({ size, lower, side }: NormalEquations): { square: Matrix; side: Matrix } {
  const [square, column] = [Matrix.zeros(size, size), Matrix.zeros(size, 1)];
  for (let r = 0, sum = 0; r < size; r++) {
    sum += side[r];
    column.set(r, 0, sum);
    let along = 0;
    for (let c = 0; c < size; c++) {
      along += r >= c ? lower[r * size + c] : lower[c * size + r];
      square.set(r, c, along + (r > 0 ? square.get(r - 1, c) : 0));
    }
  }
  const trace = (1e-9 * square.trace()) / size;
  for (let r = 0; r < size; r++) {
    square.set(r, r, square.get(r, r) + trace);
    for (let c = 0; c < r; c++) square.set(r, c, square.get(c, r));
  }
  return { square, side: column };
}

/**
 * The best-fitting response that never rises outwards, with a penalty on curvature: non-negative least squares over the
 * drops from knot to knot. Where theory tells the shape, the curvature of its departure from it counts: the top of a tube's
 * response is pointed, and smoothness alone would round it off.
 *
 * @param equations - of the values at the knots
 * @param shots - how many shots they are from: χ² grows with them, and the penalty must not outweigh a few
 */
export function fitSpline(
  knots: Float64Array,
  equations: NormalEquations,
  shots: number,
  { shape }: Pick<ResponseTheory, 'shape'>,
): RadialSpline {
  const stiffness = STIFFNESS * Math.sqrt(Math.min(1, shots / STIFFNESS_SHOTS));
  const n = knots.length;
  const bending = new NormalEquations(n);
  bending.addAll(equations, 1);
  for (const row of bendingRows(knots, stiffness)) {
    if (shape) row[0] -= row.reduce((sum, value, k) => sum + value * shape[k], 0);
    bending.add(row, 1, 0);
  }
  const { square, side } = inDrops(bending);
  const drops = solveNonNegative(square, side);
  const values = new Float64Array(n);
  for (let k = n - 1, sum = 0; k >= 0; k--) {
    sum += drops[k];
    values[k] = sum;
  }
  const top = values[0] || 1;
  return { knots, values: values.map((value) => value / top) };
}
