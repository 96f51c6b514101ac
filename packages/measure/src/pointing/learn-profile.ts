import { NormalEquations } from '@twolamp/numeric';
import { solveNonNegative } from '@twolamp/numeric/non-negative';
import type { Matrix } from 'ml-matrix';
import type { Profile } from './profile.js';
import { evaluateSplines, splineCount, splineValues } from './splines.js';
import { KNOT_GROWTH, STEEPNESS_CHANGE } from './tuning.js';

/** Readings of many tubes on one scale: light over the tube's height, against slope off its centre over its width. */
export interface PooledReadings {
  readonly radius: Float64Array;
  readonly light: Float64Array;
  readonly weight: Float64Array;
}

/** The first interval is as wide as the top is rounded, within these bounds in mean radii of the acceptance. */
const FIRST_KNOT = { least: 0.01, most: 0.15 };
/** Keeps falls that no reading depends on at 0; a share of the largest diagonal element. */
const RIDGE = 1e-9;

/**
 * Knots from 0 outwards, close together where an acceptance is sharp, farther apart outside.
 *
 * @param scale - mean radius of the acceptance, roughly
 * @param rounded - radius over which its top is rounded, see {@link Sweep.rounded}
 * @param reach - least place of the last knot
 */
export function profileKnots(scale: number, rounded: number, reach: number): Float64Array {
  const knots = [0];
  const first = Math.min(Math.max(rounded, FIRST_KNOT.least * scale), FIRST_KNOT.most * scale);
  for (let width = first; knots.at(-1)! < reach; width *= KNOT_GROWTH) knots.push(knots.at(-1)! + width);
  return Float64Array.from(knots);
}

/**
 * The best-fitting profile among those that are flat in the middle, never rise outwards and end at 0: least squares over
 * B-splines with coefficients that never rise, so that their sum never rises either.
 *
 * @param scale - mean radius of the acceptance, roughly
 * @returns the profile, scaled to 1 in the middle
 * Source: de Boor, A Practical Guide to Splines, 1978, ch. XI (variation diminishing).
 */
export function learnProfile(knots: Float64Array, scale: number, readings: PooledReadings): Profile {
  const splines = splineCount(knots);
  const ofSplines = new NormalEquations(splines);
  const local = splineValues();
  const places = new Int32Array(local.values.length);
  for (let index = 0; index < readings.radius.length; index++) {
    const weight = readings.weight[index];
    if (!(weight > 0 && readings.radius[index] < knots[knots.length - 1])) continue;
    evaluateSplines(knots, readings.radius[index], local);
    for (let i = 0; i < places.length; i++) places[i] = local.first + i;
    ofSplines.addFew(places, local.values, places.length, weight, readings.light[index]);
  }
  const falls = splines - 2;
  const equations = inFalls(ofSplines, falls);
  const square = equations.matrix();
  addSmoothness(square, knots, scale);
  const found = solveNonNegative(square, equations.column());

  const coefficients = new Float64Array(falls + 2);
  for (let j = falls; j > 0; j--) coefficients[j] = coefficients[j + 1] + found[j - 1];
  coefficients[0] = coefficients[1];
  const height = coefficients[0];
  const values = new Float64Array(knots.length);
  const derivatives = new Float64Array(knots.length);
  knots.forEach((knot, index) => {
    evaluateSplines(knots, knot, local);
    for (let j = 0; j < local.values.length; j++) {
      values[index] += (coefficients[local.first + j] * local.values[j]) / height;
      derivatives[index] += (coefficients[local.first + j] * local.derivatives[j]) / height;
    }
  });
  return { knots, values, derivatives };
}

/**
 * Equations of the splines' coefficients as those of their falls. Coefficient j + 1 is the sum of the falls from j on;
 * coefficient 0 equals coefficient 1, the last one is 0: a fall at j raises all splines up to j + 1.
 */
function inFalls(ofSplines: NormalEquations, falls: number): NormalEquations {
  const square = ofSplines.matrix();
  const equations = new NormalEquations(falls);
  // Sums over a block that grows from the first spline on, down its rows and then along its columns.
  const down = new Float64Array(ofSplines.size);
  let side = ofSplines.side[0];
  for (let column = 0; column < down.length; column++) down[column] = square.get(0, column);
  for (let i = 0; i < falls; i++) {
    side += ofSplines.side[i + 1];
    equations.side[i] = side;
    let sum = 0;
    for (let column = 0; column < down.length; column++) {
      down[column] += square.get(i + 1, column);
      sum += down[column];
      if (column > 0 && column <= i + 1) equations.lower[i * falls + column - 1] = sum;
    }
  }
  return equations;
}

/** Adds the penalty on changes of steepness between neighbouring falls, and the ridge. */
function addSmoothness(normal: Matrix, knots: Float64Array, scale: number): void {
  const add = (i: number, j: number, value: number) => normal.set(i, j, normal.get(i, j) + value);
  const falls = normal.rows;
  const ridge = RIDGE * Math.max(...normal.diagonal());
  const pull = (scale / STEEPNESS_CHANGE) ** 2;
  const perFall = (i: number) => 1 / (splineMiddle(knots, i + 2) - splineMiddle(knots, i + 1));
  for (let i = 0; i < falls; i++) add(i, i, ridge);
  for (let i = 1; i < falls; i++) {
    const before = perFall(i - 1);
    const here = perFall(i);
    add(i - 1, i - 1, pull * before * before);
    add(i, i, pull * here * here);
    add(i - 1, i, -pull * before * here);
    add(i, i - 1, -pull * before * here);
  }
}

/** Greville abscissa of a cubic B-spline: the mean of its three inner knots. */
function splineMiddle(knots: Float64Array, index: number): number {
  const inner = [index - 2, index - 1, index].map((i) => knots[Math.min(Math.max(i, 0), knots.length - 1)]);
  return (inner[0] + inner[1] + inner[2]) / 3;
}
