import { solve } from 'ml-matrix';
import { homography } from '../light/filters.js';
import { bisquare, equationsOf, fillTerms, sumOfTerms, surfaceTerms } from '@twolamp/numeric';

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

function median(values: Float64Array): number {
  return values.slice().sort()[values.length >> 1] ?? 0;
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
  const [leastU, mostU] = rangeOf(ties, ({ u }) => u);
  const [leastV, mostV] = rangeOf(ties, ({ v }) => v);
  const [middleU, middleV] = [(leastU + mostU) / 2, (leastV + mostV) / 2];
  const scale = Math.max(mostU - middleU, mostV - middleV, 1);
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
  while (degree < MAX_DEGREE && surfaceTerms(degree + 1) < ties.length / TIES_PER_TERM) degree++;
  const size = surfaceTerms(degree);
  const rows = new Float64Array(ties.length * size);
  const [targetX, targetY] = [new Float64Array(ties.length), new Float64Array(ties.length)];
  ties.forEach(({ u, v, x, y }, k) => {
    const [p, q] = unit(u, v);
    const [px, py] = project(p, q);
    fillTerms(p, q, degree, rows, k * size);
    targetX[k] = x - px;
    targetY[k] = y - py;
  });
  const weights = new Float64Array(ties.length).fill(1);
  const misses = new Float64Array(ties.length);
  let terms: [number[], number[]];
  for (let round = 0; ; round++) {
    terms = [targetX, targetY].map((target) => {
      const equations = equationsOf(rows, size, weights, target);
      // A trace of ridge keeps a lattice with all its ties on few rows solvable.
      for (let n = 0; n < size; n++) equations.addPrior(n, 1e-9 * ties.length);
      return solve(equations.matrix(), equations.column()).to1DArray();
    }) as [number[], number[]];
    if (round === ROUNDS - 1) break;
    for (let k = 0; k < misses.length; k++) {
      misses[k] = Math.hypot(
        targetX[k]! - sumOfTerms(terms[0], rows, k * size),
        targetY[k]! - sumOfTerms(terms[1], rows, k * size),
      );
    }
    const cut = CUT * Math.max(median(misses), 1e-6);
    for (let k = 0; k < misses.length; k++) {
      weights[k] = bisquare(misses[k]! / cut);
    }
  }

  const values = new Float64Array(size);
  const at = (u: number, v: number): [number, number] => {
    const [p, q] = unit(u, v);
    const [x, y] = project(p, q);
    fillTerms(p, q, degree, values, 0);
    return [x + sumOfTerms(terms[0], values, 0), y + sumOfTerms(terms[1], values, 0)];
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

function rangeOf(ties: readonly Tie[], of: (tie: Tie) => number): [number, number] {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const tie of ties) {
    least = Math.min(least, of(tie));
    most = Math.max(most, of(tie));
  }
  return [least, most];
}
