import { Matrix, solve } from 'ml-matrix';
import { homography } from '../light/filters.js';

/** A smooth map from lattice co-ordinates (u to the right, v down, in pitches) to pixels. */
export interface Warp {
  /** Pixel of a lattice point. */
  at(u: number, v: number): readonly [number, number];
  /** ∂(x, y)/∂(u, v) of the homography alone, in pixels a pitch: [xu, xv, yu, yv]. The polynomial follows a bulged outline too, which leaves the tubes as wide as they are. */
  slope(u: number, v: number): readonly [number, number, number, number];
}

/** A lattice point with the pixel where it was found. */
export interface Tie {
  readonly u: number;
  readonly v: number;
  readonly x: number;
  readonly y: number;
}

const MAX_DEGREE = 4;
const TIES_PER_TERM = 8;
const ROUNDS = 4;
/** Residuals beyond this many robust standard deviations lose their say (Tukey's bisquare). */
const CUT = 6;

function powers(u: number, v: number, degree: number): number[] {
  const terms: number[] = [];
  for (let order = 0; order <= degree; order++) {
    for (let k = 0; k <= order; k++) terms.push(u ** (order - k) * v ** k);
  }
  return terms;
}

function median(values: number[]): number {
  const sorted = values.sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/**
 * Homography times a low-order polynomial, fitted robustly: tilt is caught by the one, lens distortion and a bulged
 * outline by the other.
 *
 * The polynomial's degree grows with the number of ties, up to 4, so that a small lattice isn't overfitted.
 *
 * @param ties - at least 4, not all on a line
 * @returns null where the ties don't determine a map
 */
export function fitWarp(ties: readonly Tie[]): Warp | null {
  if (ties.length < 4) return null;
  const us = ties.map((tie) => tie.u);
  const vs = ties.map((tie) => tie.v);
  const [middleU, middleV] = [
    (Math.min(...us) + Math.max(...us)) / 2,
    (Math.min(...vs) + Math.max(...vs)) / 2,
  ];
  const scale = Math.max(Math.max(...us) - middleU, Math.max(...vs) - middleV, 1);
  const unit = (u: number, v: number): [number, number] => [(u - middleU) / scale, (v - middleV) / scale];
  const h = homography(
    ties.flatMap(({ u, v }) => unit(u, v)),
    ties.flatMap(({ x, y }) => [x, y]),
  );
  if (!h) return null;
  const project = (p: number, q: number): [number, number] => {
    const w = h[6]! * p + h[7]! * q + h[8]!;
    return [(h[0]! * p + h[1]! * q + h[2]!) / w, (h[3]! * p + h[4]! * q + h[5]!) / w];
  };

  let degree = 1;
  while (degree < MAX_DEGREE && ((degree + 2) * (degree + 3)) / 2 < ties.length / TIES_PER_TERM) degree++;
  const rows = ties.map(({ u, v }) => powers(...unit(u, v), degree));
  const targets = ties.map(({ u, v, x, y }) => {
    const [px, py] = project(...unit(u, v));
    return [x - px, y - py];
  });
  const weights = new Float64Array(ties.length).fill(1);
  let terms = new Matrix(rows[0]!.length, 2);
  for (let round = 0; round < ROUNDS; round++) {
    const design = new Matrix(rows.map((row, k) => row.map((term) => term * weights[k]!)));
    const values = new Matrix(targets.map((target, k) => target.map((value) => value * weights[k]!)));
    const square = design.transpose().mmul(design);
    // A trace of ridge keeps a lattice with all its ties on few rows solvable.
    for (let k = 0; k < square.rows; k++) square.set(k, k, square.get(k, k) + 1e-9 * ties.length);
    terms = solve(square, design.transpose().mmul(values));
    const fitted = new Matrix(rows).mmul(terms);
    const misses = targets.map(([dx, dy], k) => Math.hypot(dx! - fitted.get(k, 0), dy! - fitted.get(k, 1)));
    const cut = CUT * Math.max(median([...misses]), 1e-6);
    misses.forEach((miss, k) => {
      weights[k] = miss < cut ? 1 - (miss / cut) ** 2 : 0;
    });
  }

  const at = (u: number, v: number): [number, number] => {
    const [p, q] = unit(u, v);
    const [x, y] = project(p, q);
    const values = powers(p, q, degree);
    let [dx, dy] = [0, 0];
    for (let k = 0; k < values.length; k++) {
      dx += values[k]! * terms.get(k, 0);
      dy += values[k]! * terms.get(k, 1);
    }
    return [x + dx, y + dy];
  };
  const slope = (u: number, v: number): [number, number, number, number] => {
    const [east, west, south, north] = [
      project(...unit(u + 0.5, v)),
      project(...unit(u - 0.5, v)),
      project(...unit(u, v + 0.5)),
      project(...unit(u, v - 0.5)),
    ];
    return [east[0] - west[0], south[0] - north[0], east[1] - west[1], south[1] - north[1]];
  };
  return { at, slope };
}
