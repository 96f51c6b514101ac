/**
 * The mean picture of one cell on the sheet over local co-ordinates: p to the right, q down, in pitches from the cell's
 * middle. A round spot with the departures that lens and sheet bring:
 *
 * T(p, q) = R₀(s) + p·R₁(s) + q·R₂(s) + (p² − q²)·R₃(s) + 2pq·R₄(s), s = p² + q²,
 *
 * each R a cubic B-spline in s, so that T is smooth at the middle and finest at the spot's rim. Its integral over the
 * plane is 1; beyond REACH pitches it is 0, and what the sheet scatters farther belongs to the halo.
 */
export interface Footprint {
  /** HARMONICS rows of KNOTS spline coefficients. */
  readonly coefficients: Float64Array;
}

/** Radius of the footprint in pitches. */
export const REACH = 0.95;
/** Distance of the spline's knots in s: 1/30 pitch in radius at the rim of a usual spot. */
export const STEP = 0.03;
export const KNOTS = Math.ceil((REACH * REACH) / STEP) + 3;
export const HARMONICS = 5;
export const COEFFICIENTS = HARMONICS * KNOTS;

/** The four cubic B-spline weights for a fraction t in [0, 1) between the middle two knots. Source: de Boor, A Practical Guide to Splines, uniform knots. */
function splineWeights(t: number, into: Float64Array): void {
  const s = 1 - t;
  into[0] = (s * s * s) / 6;
  into[1] = (4 - 6 * t * t + 3 * t * t * t) / 6;
  into[2] = (4 - 6 * s * s + 3 * s * s * s) / 6;
  into[3] = (t * t * t) / 6;
}

/** Squared radius of a knot in pitches²; the first lies one step inside the middle. */
export const knotSquare = (knot: number): number => Math.max(0, (knot - 1) * STEP);

/** Where a place falls in the basis: which coefficients (of the first harmonic) with which weights. */
export class FootprintBasis {
  readonly weights = new Float64Array(4);
  readonly harmonics = new Float64Array(HARMONICS);
  first = 0;

  /** Sets the basis to a place; false where it lies beyond the reach. */
  moveTo(p: number, q: number): boolean {
    const s = p * p + q * q;
    if (s >= REACH * REACH) return false;
    const t = s / STEP;
    this.first = Math.floor(t);
    splineWeights(t - this.first, this.weights);
    this.harmonics[0] = 1;
    this.harmonics[1] = p;
    this.harmonics[2] = q;
    this.harmonics[3] = p * p - q * q;
    this.harmonics[4] = 2 * p * q;
    return true;
  }
}

/** Coefficients of a cubic, in growing powers of the fraction between two knots. */
const CUBIC = 4;
const INTERVALS = KNOTS - 3;

/** A footprint to be looked up at many places: its splines as cubics, knot by knot. */
export class FootprintTable {
  /** INTERVALS × HARMONICS × CUBIC. */
  private readonly cubics = new Float64Array(INTERVALS * HARMONICS * CUBIC);
  private round = true;

  /** Turns to another footprint. */
  take({ coefficients }: Footprint): void {
    this.round = true;
    for (let at = KNOTS; at < COEFFICIENTS && this.round; at++) this.round = coefficients[at] === 0;
    for (let h = 0; h < (this.round ? 1 : HARMONICS); h++) {
      for (let n = 0; n < INTERVALS; n++) {
        const from = h * KNOTS + n;
        const a = coefficients[from]!;
        const b = coefficients[from + 1]!;
        const c = coefficients[from + 2]!;
        const d = coefficients[from + 3]!;
        const to = (n * HARMONICS + h) * CUBIC;
        this.cubics[to] = (a + 4 * b + c) / 6;
        this.cubics[to + 1] = (c - a) / 2;
        this.cubics[to + 2] = (a - 2 * b + c) / 2;
        this.cubics[to + 3] = (d - a + 3 * (b - c)) / 6;
      }
    }
  }

  /** T at a place; 0 beyond the reach. */
  at(p: number, q: number): number {
    const s = p * p + q * q;
    if (!(s < REACH * REACH)) return 0;
    const t = s / STEP;
    const first = Math.floor(t);
    const f = t - first;
    const from = first * HARMONICS * CUBIC;
    const value = this.radial(from, f);
    if (this.round) return value;
    return (
      value +
      p * this.radial(from + CUBIC, f) +
      q * this.radial(from + 2 * CUBIC, f) +
      (p * p - q * q) * this.radial(from + 3 * CUBIC, f) +
      2 * p * q * this.radial(from + 4 * CUBIC, f)
    );
  }

  private radial(from: number, f: number): number {
    const { cubics } = this;
    return cubics[from]! + f * (cubics[from + 1]! + f * (cubics[from + 2]! + f * cubics[from + 3]!));
  }
}

/** A round spot for a start: flat to `radius`, soft over `edge`, both in pitches. */
export function roundFootprint(radius: number, edge: number): Footprint {
  const coefficients = new Float64Array(COEFFICIENTS);
  for (let knot = 0; knot < KNOTS - 3; knot++) {
    coefficients[knot] = 1 / (1 + Math.exp((Math.sqrt(knotSquare(knot)) - radius) / edge));
  }
  return normalised({ coefficients }).footprint;
}

/** Share of each spline's integral over s that lies at s ≥ 0 (the first three reach below). */
const INSIDE = [1 / 24, 1 / 2, 23 / 24];

/** The same shape with integral 1, and the integral it had: ∫ T dp dq = π ∫ R₀ ds, the other harmonics cancel over a turn. */
export function normalised({ coefficients }: Footprint): { footprint: Footprint; integral: number } {
  let sum = 0;
  for (let knot = 0; knot < KNOTS; knot++) sum += coefficients[knot]! * (INSIDE[knot] ?? 1);
  const integral = Math.PI * STEP * sum;
  return { footprint: { coefficients: coefficients.map((value) => value / integral) }, integral };
}

const CENTROID_RINGS = 100;

/**
 * Centre of gravity in pitches, over what lies within `radius` of the middle: only R₁ and R₂ have moments, so that it
 * is ½ ∫ s R₁ ds / ∫ R₀ ds to the right, and the same with R₂ downwards.
 */
export function centroid(footprint: Footprint, radius: number): [number, number] {
  const table = new FootprintTable();
  table.take(footprint);
  let sum = 0;
  let p = 0;
  let q = 0;
  for (let n = 0; n < CENTROID_RINGS; n++) {
    // Rings of equal area; on each, four places part the harmonics.
    const r = radius * Math.sqrt((n + 0.5) / CENTROID_RINGS);
    const right = table.at(r, 0);
    const left = table.at(-r, 0);
    const below = table.at(0, r);
    const above = table.at(0, -r);
    sum += (right + left + below + above) / 4;
    p += (r * (right - left)) / 4;
    q += (r * (below - above)) / 4;
  }
  return [p / sum, q / sum];
}
