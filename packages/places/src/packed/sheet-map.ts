import { equationsOf, type Triangulation } from '@twolamp/numeric';
import { solve } from 'ml-matrix';
import { TOUCHING_SPREAD } from './tuning.js';

/** Places in pitches: u to the right, v down, from the middle of all. */
export interface PitchPlaces {
  readonly u: Float64Array;
  readonly v: Float64Array;
}

const ROUNDS = 4;
/** Two of stretch, two of perspective, one of lens distortion, and the scale. */
const TERMS = 6;
/** Edges from which the view's tilt and distortion can be told. */
const LEAST_EDGES = 60;

/**
 * Places seen straight on, in pitches: the photo's tilt and lens distortion are those that make the distances of touching
 * tubes differ over the picture and with their direction.
 *
 * With small stretch E, perspective p and distortion k the map x → (x + E x)(1 + k r²)/(1 + p·x) changes an edge along the
 * unit vector t at x by the factor 1 + t·E t − p·x − (p·t)(x·t) + k(r² + 2(x·t)²), to first order: linear in all of them.
 *
 * @param x - places in the photo, px
 * @param y - likewise
 * @param neighbours - of each place
 */
export function seenStraightOn(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  neighbours: Triangulation['neighbours'],
): PitchPlaces {
  const count = x.length;
  const middleX = Array.from(x).reduce((sum, value) => sum + value, 0) / count;
  const middleY = Array.from(y).reduce((sum, value) => sum + value, 0) / count;
  let u = Float64Array.from(x, (value) => value - middleX);
  let v = Float64Array.from(y, (value) => value - middleY);
  const radius = Math.max(...u.map((value, k) => Math.hypot(value, v[k])));
  u = u.map((value) => value / radius);
  v = v.map((value) => value / radius);
  const edges = neighbours.flatMap((list, from) =>
    list.filter((to) => to > from).map((to) => [from, to] as const),
  );
  for (let round = 0; round < ROUNDS; round++) {
    const lengths = edges.map(([a, b]) => Math.hypot(u[a] - u[b], v[a] - v[b]));
    const touching = touchingDistance(lengths);
    const used = edges.filter((_, n) => Math.abs(lengths[n] / touching - 1) < TOUCHING_SPREAD);
    if (used.length < LEAST_EDGES) return scaled(u, v, 1 / touching);
    const rows = new Float64Array(TERMS * used.length);
    const targets = new Float64Array(used.length);
    used.forEach(([a, b], n) => {
      const [du, dv] = [u[b] - u[a], v[b] - v[a]];
      const length = Math.hypot(du, dv);
      const [c, s] = [du / length, dv / length];
      const [mu, mv] = [(u[a] + u[b]) / 2, (v[a] + v[b]) / 2];
      const along = mu * c + mv * s;
      rows.set(
        [
          1,
          c * c - s * s,
          2 * c * s,
          -mu - along * c,
          -mv - along * s,
          mu * mu + mv * mv + 2 * along * along,
        ],
        n * TERMS,
      );
      targets[n] = -Math.log(length);
    });
    const weights = new Float64Array(used.length).fill(1);
    const equations = equationsOf(rows, TERMS, weights, targets);
    for (let n = 0; n < TERMS; n++) equations.addPrior(n, 1e-9 * used.length);
    const [scale, wide, aslant, p, q, k] = solve(equations.matrix(), equations.column()).to1DArray() as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    if (round === ROUNDS - 1) return scaled(u, v, Math.exp(scale));
    const next = Array.from(u, (own, n) => {
      const factor = (1 + k * (own * own + v[n] * v[n])) / (1 + p * own + q * v[n]);
      return [
        (own * (1 + wide) + v[n] * aslant) * factor,
        (v[n] * (1 - wide) + own * aslant) * factor,
      ] as const;
    });
    u = Float64Array.from(next, ([first]) => first);
    v = Float64Array.from(next, ([, second]) => second);
  }
  return { u, v };
}

/**
 * Distance of tubes that touch: the middle of the shortest stretch that holds half of all edges, since edges across gaps
 * are longer and would draw a mean or median with them.
 */
function touchingDistance(lengths: readonly number[]): number {
  const sorted = Float64Array.from(lengths).sort();
  const half = Math.floor(sorted.length / 2);
  let best = 0;
  for (let n = 1; n + half < sorted.length; n++) {
    if (sorted[n + half] - sorted[n] < sorted[best + half] - sorted[best]) best = n;
  }
  return (sorted[best] + sorted[best + half]) / 2;
}

function scaled(u: Float64Array, v: Float64Array, factor: number): PitchPlaces {
  const middle = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [mu, mv] = [middle(u), middle(v)];
  return { u: u.map((value) => (value - mu) * factor), v: v.map((value) => (value - mv) * factor) };
}
