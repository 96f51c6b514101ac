import type { ArrayGeometry } from './array.js';
import { rowStep } from './layout.js';
import { type TubeLayout, tubeLayout } from './tube-layout.js';

/** How an array may show in place of upright: mirrored left to right first, then turned, then moved by whole pitches. */
export interface ArrayView {
  readonly mirrored: boolean;
  /** Clockwise as seen. */
  readonly turnedDeg: number;
  /** In pitches. */
  readonly across: number;
  readonly up: number;
}

/** How well two patterns of light agree in one view. */
export interface ViewMatch {
  readonly view: ArrayView;
  /** Of the second pattern, the tube that lies where each tube of the first one does; −1 where there is none. */
  readonly tubes: Int32Array;
  /** Fisher's z of their correlation in standard deviations: above 3 or 4 it is no chance. */
  readonly sigmas: number;
}

const UPRIGHT: ArrayView = { mirrored: false, turnedDeg: 0, across: 0, up: 0 };
/** Whole pitches that are tried each way. */
const REACH = 2;
/** Share of the tubes that a view must leave in place. */
const LEAST_SHARE = 0.5;
const FEWEST_TUBES = 12;
/** A view counts from this agreement on, and by this lead over the next, standard deviations. Judgement. */
const CLEAR_SIGMAS = 5;
const LEAD_SIGMAS = 4;
/** Beyond so many typical deviations a value counts no more: blocked tubes are dark by any amount. */
const LARGEST_DEVIATION = 4;

/** Places are told apart to an eighth of a pitch. */
const keyOf = (across: number, up: number): number => Math.round(8 * across) * 65_536 + Math.round(8 * up);

function indexOf({ count, across, up }: TubeLayout): Map<number, number> {
  return new Map(Array.from({ length: count }, (_, n) => [keyOf(across[n], up[n]), n]));
}

function tubesIn(view: ArrayView, layout: TubeLayout, index: ReadonlyMap<number, number>): Int32Array {
  const angle = (view.turnedDeg * Math.PI) / 180;
  const [cosine, sine] = [Math.cos(angle), Math.sin(angle)];
  return Int32Array.from({ length: layout.count }, (_, n) => {
    const across = view.mirrored ? -layout.across[n] : layout.across[n];
    const up = layout.up[n];
    const key = keyOf(cosine * across + sine * up + view.across, cosine * up - sine * across + view.up);
    return index.get(key) ?? -1;
  });
}

function viewsOf(array: ArrayGeometry): ArrayView[] {
  const hexagonal = array.arrangement === 'hexagonal';
  const turns = hexagonal ? [0, 60, 120, 180, 240, 300] : [0, 90, 180, 270];
  const steps = Array.from({ length: 2 * REACH + 1 }, (_, n) => n - REACH);
  return [false, true].flatMap((mirrored) =>
    turns.flatMap((turnedDeg) =>
      steps.flatMap((rows) =>
        steps.map((columns) => ({
          mirrored,
          turnedDeg,
          across: columns + (hexagonal ? rows / 2 : 0),
          up: rows * rowStep(array),
        })),
      ),
    ),
  );
}

/** Deviations from the middle in typical ones, none larger than {@link LARGEST_DEVIATION}; NaN where unknown. */
function limited(values: ArrayLike<number>): Float64Array {
  const known = Array.from(values)
    .filter(Number.isFinite)
    .sort((a, b) => a - b);
  const middle = known[known.length >> 1] ?? 0;
  const off = known.map((value) => Math.abs(value - middle)).sort((a, b) => a - b);
  const scale = off[off.length >> 1] || Number.MIN_VALUE;
  return Float64Array.from(values, (value) =>
    Math.max(-LARGEST_DEVIATION, Math.min(LARGEST_DEVIATION, (value - middle) / scale)),
  );
}

function sigmasOf(one: Float64Array, other: Float64Array, tubes: Int32Array): number {
  let [n, x, y, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
  for (let k = 0; k < tubes.length; k++) {
    if (tubes[k] < 0) continue;
    const [a, b] = [one[k], other[tubes[k]]];
    if (!(Number.isFinite(a) && Number.isFinite(b))) continue;
    n++;
    x += a;
    y += b;
    xx += a * a;
    yy += b * b;
    xy += a * b;
  }
  if (n < Math.max(FEWEST_TUBES, LEAST_SHARE * one.length)) return Number.NEGATIVE_INFINITY;
  const r = (xy - (x * y) / n) / Math.sqrt((xx - (x * x) / n) * (yy - (y * y) / n));
  return Number.isFinite(r) ? Math.atanh(Math.min(0.999_999, r)) * Math.sqrt(n - 3) : 0;
}

/**
 * In which view one array shows in two patterns of its tubes' light: the small differences from tube to tube, blocked tubes
 * included, are its fingerprint.
 *
 * @param one - a value for each tube, such as the logarithm of its relative transmission; NaN where unknown
 * @param other - the same, of the second pattern
 * @returns the upright view, and all others by how well they fit, the best first; that of them which shows clearly, null = none
 * Source: Fisher, Metron 1 (1921) 3–32, for the standard deviation of the correlation's arc tangent, 1/√(n − 3).
 */
export function matchFingerprints(
  array: ArrayGeometry,
  one: ArrayLike<number>,
  other: ArrayLike<number>,
): { readonly upright: ViewMatch; readonly others: readonly ViewMatch[]; readonly seen: ViewMatch | null } {
  const layout = tubeLayout(array);
  const index = indexOf(layout);
  const [first, second] = [limited(one), limited(other)];
  const match = (view: ArrayView): ViewMatch => {
    const tubes = tubesIn(view, layout, index);
    return { view, tubes, sigmas: sigmasOf(first, second, tubes) };
  };
  const others = viewsOf(array)
    .filter(({ mirrored, turnedDeg, across, up }) => mirrored || turnedDeg || across || up)
    .map(match)
    .filter(({ sigmas }) => sigmas > Number.NEGATIVE_INFINITY)
    .sort((a, b) => b.sigmas - a.sigmas);
  const upright = match(UPRIGHT);
  const [best, next] = [upright, ...others.slice(0, 1)].sort((a, b) => b.sigmas - a.sigmas);
  const isClear = best.sigmas > CLEAR_SIGMAS && best.sigmas > (next?.sigmas ?? 0) + LEAD_SIGMAS;
  return { upright, others, seen: isClear ? best : null };
}
