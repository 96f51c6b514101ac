import { homography } from '../light/homography.js';
import {
  bisquare,
  equationsOf,
  factorPositive,
  fillTerms,
  median,
  substitute,
  sumOfTerms,
  surfaceTerms,
  thin,
} from '@twolamp/numeric';
import { TIES_PER_TERM } from './tuning.js';

/** Degree of the warp that tilt and a usual lens need, and the highest for wide-angle lenses. */
const USUAL_DEGREE = 4;
const MAX_DEGREE = 8;
/** Limit of computing time: the map is smooth. Most ties that it is fitted to. */
const MOST_TIES = 400;
/** Tolerance. A higher degree is kept where it lowers the median residual to this share. */
const WORTH_A_DEGREE = 0.8;

/** A smooth map from lattice co-ordinates (u to the right, v down, in pitches) to pixels. */
export interface Warp {
  /** Pixel of a lattice point. */
  at(u: number, v: number): readonly [number, number];
  /**
   * ∂(x, y)/∂(u, v) in pixels a pitch: [xu, xv, yu, yv]. Of the homography alone up to degree 4: the polynomial follows a
   * bulged outline too, which leaves the tubes as wide as they are.
   */
  slope(u: number, v: number): readonly [number, number, number, number];
}

/** A lattice point with the pixel where it was found. */
export interface Tie {
  readonly u: number;
  readonly v: number;
  readonly x: number;
  readonly y: number;
}

const ROUNDS = 4;
/** Residuals beyond this many robust standard deviations lose their say (Tukey's bisquare). */
const CUT = 6;

/** Places in unit co-ordinates, and what the homography leaves over there, in pixels. */
interface Offsets {
  readonly p: Float64Array;
  readonly q: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

interface OffsetFit {
  readonly degree: number;
  readonly terms: readonly [Float64Array, Float64Array];
  /** Median distance that is left, in pixels. */
  readonly residual: number;
}

/** The polynomial of the degree that the ties allow and need. */
function fitOffsets(offsets: Offsets): OffsetFit {
  const allowed = (degree: number): boolean => surfaceTerms(degree) < offsets.p.length / TIES_PER_TERM;
  let degree = 1;
  while (degree < USUAL_DEGREE && allowed(degree + 1)) degree++;
  let best = fitDegree(offsets, degree);
  if (degree < USUAL_DEGREE) return best;
  // Barrel distortion is odd: an even degree brings nothing, the one after it may. Where neither does, none will.
  for (let next = degree + 1; next <= Math.min(MAX_DEGREE, best.degree + 2) && allowed(next); next++) {
    const higher = fitDegree(offsets, next);
    if (higher.residual < WORTH_A_DEGREE ** (next - best.degree) * best.residual) best = higher;
  }
  return best;
}

/** Robust least squares, Tukey's bisquare. */
function fitDegree({ p, q, x, y }: Offsets, degree: number): OffsetFit {
  const count = p.length;
  const size = surfaceTerms(degree);
  const rows = new Float64Array(count * size);
  for (let k = 0; k < count; k++) fillTerms(p[k]!, q[k]!, degree, rows, k * size);
  const weights = new Float64Array(count).fill(1);
  const weighted = (target: Float64Array): Float64Array => {
    const side = new Float64Array(size);
    for (let k = 0; k < count; k++) {
      const scaled = weights[k]! * target[k]!;
      for (let n = 0; n < size; n++) side[n]! += scaled * rows[k * size + n]!;
    }
    return side;
  };
  const misses = new Float64Array(count);
  for (let round = 1; ; round++) {
    const equations = equationsOf(rows, size, weights, x);
    // A trace of ridge keeps a lattice with all its ties on few rows solvable.
    for (let n = 0; n < size; n++) equations.addPrior(n, 1e-9 * count);
    const terms = [equations.side, weighted(y)] as const;
    const lower = factorPositive(equations.lower, size);
    for (const side of terms) substitute(lower, side);
    for (let k = 0; k < count; k++) {
      misses[k] = Math.hypot(
        x[k]! - sumOfTerms(terms[0], rows, k * size),
        y[k]! - sumOfTerms(terms[1], rows, k * size),
      );
    }
    const residual = median(misses);
    if (round === ROUNDS) return { degree, terms, residual };
    const cut = CUT * Math.max(residual, 1e-6);
    for (let k = 0; k < count; k++) weights[k] = bisquare(misses[k]! / cut);
  }
}

/**
 * Homography times a low-order polynomial, fitted robustly: tilt is caught by the one, lens distortion and a bulged
 * outline by the other.
 *
 * The polynomial's degree grows with the number of ties, up to 4, so that a small lattice isn't overfitted; beyond, only
 * where a wide-angle lens needs more, since a high degree carries badly to cells beyond the ties.
 *
 * @param all - at least 4, not all on a line; of very many, some that are evenly spread are used
 * @returns null where the ties don't determine a map
 */
export function fitWarp(all: readonly Tie[]): Warp | null {
  if (all.length < 4) return null;
  const ties = thin(all, MOST_TIES);
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

  const offsets: Offsets = {
    p: new Float64Array(ties.length),
    q: new Float64Array(ties.length),
    x: new Float64Array(ties.length),
    y: new Float64Array(ties.length),
  };
  ties.forEach(({ u, v, x, y }, k) => {
    const [p, q] = unit(u, v);
    const [px, py] = project(p, q);
    offsets.p[k] = p;
    offsets.q[k] = q;
    offsets.x[k] = x - px;
    offsets.y[k] = y - py;
  });
  const { degree, terms } = fitOffsets(offsets);

  const values = new Float64Array(surfaceTerms(degree));
  const at = (u: number, v: number): [number, number] => {
    const [p, q] = unit(u, v);
    const [x, y] = project(p, q);
    fillTerms(p, q, degree, values, 0);
    return [x + sumOfTerms(terms[0], values, 0), y + sumOfTerms(terms[1], values, 0)];
  };
  // A wide-angle lens distorts the spots too.
  const place = degree > USUAL_DEGREE ? at : (u: number, v: number) => project(...unit(u, v));
  const slope = (u: number, v: number): [number, number, number, number] => {
    const [east, west, south, north] = [
      place(u + 0.5, v),
      place(u - 0.5, v),
      place(u, v + 0.5),
      place(u, v - 0.5),
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
