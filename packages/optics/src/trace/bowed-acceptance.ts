import type { Acceptance } from '../tube/acceptance.js';
import { entranceSlope } from '../tube/bow.js';
import type { TubeShape } from '../tube/tube.js';
import { halfMaximum } from './half-maximum.js';

const STEP = 0.11;
/** The last node on either side, 87° off the chord; beyond it nothing passes. */
const STEEPEST = 20;
/** Samples between two nodes when the half maximum is looked for. */
const FINE = 8;

/**
 * Map of a bowed tube's acceptance, mirrored about the plane of the bow. Nodes are evenly spaced in q and p:
 * slopes = middle + core·sinh q along the bow and core·sinh p beside it, close together where the tube looks.
 *
 * @param transmission - of slope along the bow (across) and beside it (up); asked at most once for each node
 * @param whole - asks for all nodes at once, in a fixed order; otherwise a node is asked for when it is first needed
 */
export function bowedAcceptance(
  tube: TubeShape,
  transmission: (slopeAcross: number, slopeUp: number) => number,
  whole: boolean,
): Acceptance {
  // Between the chord, along which a black tube looks, and the entrance's tangent, along which a glossy one does.
  const middle = entranceSlope(tube) / 2;
  const core = Math.max(tube.boreMm / tube.lengthMm, Math.abs(middle));
  const half = Math.ceil(Math.asinh(STEEPEST / core) / STEP);
  const columns = 2 * half + 1;
  const along = (q: number) => middle + core * Math.sinh(q * STEP);
  const beside = (p: number) => core * Math.sinh(p * STEP);

  const table = new Float64Array((half + 1) * columns).fill(Number.NaN);
  const fill = (fromRow: number, toRow: number, fromColumn: number, toColumn: number) => {
    for (let p = fromRow; p <= toRow; p++) {
      for (let column = fromColumn; column <= toColumn; column++) {
        const node = p * columns + column;
        if (Number.isNaN(table[node])) table[node] = transmission(along(column - half), beside(p));
      }
    }
  };
  const fillAll = () => fill(0, half, 0, columns - 1);
  if (whole) fillAll();

  const between = (q: number, p: number, column: number, row: number): number => {
    const inRow = (r: number) => {
      const start = Math.abs(r) * columns + column;
      return cubic(q - column, table[start - 1], table[start], table[start + 1], table[start + 2]);
    };
    return Math.max(0, cubic(p - row, inRow(row - 1), inRow(row), inRow(row + 1), inRow(row + 2)));
  };
  const at = (slopeAcross: number, slopeUp: number): number => {
    const q = asinh((slopeAcross - middle) / core) / STEP + half;
    const p = asinh(Math.abs(slopeUp) / core) / STEP;
    const column = Math.floor(q);
    const row = Math.floor(p);
    if (!(column >= 1 && column < columns - 2 && row < half - 1)) return 0;
    const value = between(q, p, column, row);
    if (!Number.isNaN(value)) return value;
    fill(Math.max(0, row - 1), row + 2, column - 1, column + 2);
    return between(q, p, column, row);
  };

  const widths = once(() => {
    const places = Float64Array.from({ length: 2 * half * FINE + 1 }, (_, i) => i / FINE - half);
    const acrossSlopes = places.map(along);
    const across = acrossSlopes.map((slope) => at(slope, 0));
    const peak = acrossSlopes[across.indexOf(Math.max(...across))];
    const upSlopes = places.map(beside);
    const up = upSlopes.map((slope) => at(peak, slope));
    return { along: width(acrossSlopes, across), beside: width(upSlopes, up) };
  });
  const even = once(() => {
    fillAll();
    return evenLight(table, half, along, beside, core);
  });
  return {
    at,
    get axial() {
      return at(0, 0);
    },
    get widthRad() {
      return widths().along;
    },
    get widthBesideRad() {
      return widths().beside;
    },
    get centre() {
      return even().centre;
    },
    get evenThroughput() {
      return even().evenThroughput;
    },
  };
}

/** Computes a value when it is first asked for. */
function once<T extends object>(compute: () => T): () => T {
  let known: T | null = null;
  return () => {
    known ??= compute();
    return known;
  };
}

function width(slopes: Float64Array, values: Float64Array): number {
  const { low, high } = halfMaximum(slopes, values);
  return Math.atan(high) - Math.atan(low);
}

/** Sums over the map with the weight of even light, dΩ cos θ/π = d(across) d(up)/(π(1 + slope²)²). */
function evenLight(
  table: Float64Array,
  half: number,
  along: (q: number) => number,
  beside: (p: number) => number,
  core: number,
): Pick<Acceptance, 'centre' | 'evenThroughput'> {
  let sum = 0;
  let moment = 0;
  for (let p = 0; p <= half; p++) {
    for (let q = -half; q <= half; q++) {
      const slope2 = along(q) ** 2 + beside(p) ** 2;
      const area = Math.cosh(q * STEP) * Math.cosh(p * STEP) * (core * STEP) ** 2 * (p === 0 ? 1 : 2);
      const light = (area * table[p * (2 * half + 1) + q + half]) / (Math.PI * (1 + slope2) ** 2);
      sum += light;
      moment += light * along(q);
    }
  }
  return { centre: { across: sum > 0 ? moment / sum : 0, up: 0 }, evenThroughput: sum };
}

/** Cubic through four values at −1, 0, 1, 2 (Catmull and Rom, 1974). */
function cubic(t: number, a: number, b: number, c: number, d: number): number {
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
}

/** Faster than the built-in one. */
function asinh(x: number): number {
  const size = Math.abs(x);
  return Math.sign(x) * Math.log(size + Math.sqrt(size * size + 1));
}
