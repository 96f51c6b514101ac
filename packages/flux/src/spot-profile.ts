/**
 * The mean picture of one cell on the sheet over local co-ordinates: p to the right, q down, in pitches from the cell's
 * middle. A round spot with the departures that lens and sheet bring:
 *
 * T(p, q) = R₀(s) + p·R₁(s) + q·R₂(s) + (p² − q²)·R₃(s) + 2pq·R₄(s), s = p² + q²,
 *
 * each R a cubic B-spline in s, so that T is smooth at the middle and finest at the spot's rim. Its integral over the
 * plane is 1; beyond REACH pitches it is 0, and what the sheet scatters farther belongs to the wings.
 */
export interface SpotProfile {
  /** HARMONICS rows of KNOTS spline coefficients. */
  readonly coefficients: Float64Array;
}

/** Radius of the profile in pitches. */
export const REACH = 0.95;
/** Distance of the spline's knots in s: 1/30 pitch in radius at the rim of a typical spot. */
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
export class ProfileBasis {
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
/** Steps of a round profile's table: from one to the next it bends by less than 3e-5 of its height. */
const FINE_STEPS = 2048;
const FINE_STEP = (REACH * REACH) / FINE_STEPS;

/** A profile to be looked up at many places: its splines as cubics, knot by knot. */
export class ProfileTable {
  /** INTERVALS × HARMONICS × CUBIC. */
  private readonly cubics = new Float64Array(INTERVALS * HARMONICS * CUBIC);
  private round = true;
  /** A round profile at even steps of s, and 0 at the end. */
  private readonly fine = new Float64Array(FINE_STEPS + 2);

  /** Turns to another profile. */
  take({ coefficients }: SpotProfile): void {
    this.round = true;
    for (let at = KNOTS; at < COEFFICIENTS && this.round; at++) this.round = coefficients[at] === 0;
    for (let h = 0; h < (this.round ? 1 : HARMONICS); h++) {
      for (let n = 0; n < INTERVALS; n++) {
        const from = h * KNOTS + n;
        const a = coefficients[from];
        const b = coefficients[from + 1];
        const c = coefficients[from + 2];
        const d = coefficients[from + 3];
        const to = (n * HARMONICS + h) * CUBIC;
        this.cubics[to] = (a + 4 * b + c) / 6;
        this.cubics[to + 1] = (c - a) / 2;
        this.cubics[to + 2] = (a - 2 * b + c) / 2;
        this.cubics[to + 3] = (d - a + 3 * (b - c)) / 6;
      }
    }
    if (!this.round) return;
    for (let n = 0; n < FINE_STEPS; n++) this.fine[n] = this.radial(0, n * FINE_STEP);
    this.fine[FINE_STEPS] = this.fine[FINE_STEPS + 1] = this.radial(0, REACH * REACH * (1 - Number.EPSILON));
  }

  /** T at a place; 0 beyond the reach. */
  at(p: number, q: number): number {
    const s = p * p + q * q;
    if (this.round) return this.radial(0, s);
    return (
      this.radial(0, s) +
      p * this.radial(1, s) +
      q * this.radial(2, s) +
      (p * p - q * q) * this.radial(3, s) +
      2 * p * q * this.radial(4, s)
    );
  }

  /** R of a harmonic at s = p² + q²; 0 beyond the reach. */
  private radial(harmonic: number, s: number): number {
    if (!(s < REACH * REACH) || (this.round && harmonic > 0)) return 0;
    const interval = Math.floor(s / STEP);
    const f = s / STEP - interval;
    const { cubics } = this;
    const c = CUBIC * (interval * HARMONICS + harmonic);
    return cubics[c] + f * (cubics[c + 1] + f * (cubics[c + 2] + f * cubics[c + 3]));
  }

  /**
   * T along a row of pixels, times a gain that changes evenly along the row.
   *
   * @param into - gets `count` values from `from` on
   * @param row - place of the first pixel in pitches, the step to the next, and the gain
   */
  fillRow(into: Float32Array, from: number, count: number, row: ProfileRow): void {
    const { cubics, round } = this;
    const { p: p0, q: q0, dp, dq, gain, gainStep } = row;
    // Where the row passes the circle of the reach: beside it are zeros.
    const length = dp * dp + dq * dq;
    const nearest = -(p0 * dp + q0 * dq) / length;
    const aside = p0 * dq - q0 * dp;
    const half = Math.sqrt(Math.max(0, REACH * REACH * length - aside * aside)) / length;
    const first = Math.min(count, Math.max(0, Math.ceil(nearest - half)));
    const end = half > 0 ? Math.max(first, Math.min(count, Math.floor(nearest + half) + 1)) : first;
    into.fill(0, from, from + first);
    into.fill(0, from + end, from + count);
    if (round) {
      this.fillRound(into, from, first, end, row);
      return;
    }
    for (let n = first; n < end; n++) {
      const p = p0 + n * dp;
      const q = q0 + n * dq;
      const pp = p * p;
      const qq = q * q;
      const t = (pp + qq) * (1 / STEP);
      // At the rim of the reach, rounding may pass the last interval.
      const interval = Math.min(t | 0, INTERVALS - 1);
      const f = t - interval;
      const c = interval * HARMONICS * CUBIC;
      const value =
        cubics[c] +
        f * (cubics[c + 1] + f * (cubics[c + 2] + f * cubics[c + 3])) +
        p * (cubics[c + 4] + f * (cubics[c + 5] + f * (cubics[c + 6] + f * cubics[c + 7]))) +
        q * (cubics[c + 8] + f * (cubics[c + 9] + f * (cubics[c + 10] + f * cubics[c + 11]))) +
        (pp - qq) * (cubics[c + 12] + f * (cubics[c + 13] + f * (cubics[c + 14] + f * cubics[c + 15]))) +
        2 * p * q * (cubics[c + 16] + f * (cubics[c + 17] + f * (cubics[c + 18] + f * cubics[c + 19])));
      into[from + n] = (gain + n * gainStep) * value;
    }
  }

  /** The same of a round profile, whose value is looked up. */
  private fillRound(
    into: Float32Array,
    from: number,
    first: number,
    end: number,
    { p: p0, q: q0, dp, dq, gain, gainStep }: ProfileRow,
  ): void {
    const { fine } = this;
    for (let n = first; n < end; n++) {
      const p = p0 + n * dp;
      const q = q0 + n * dq;
      const t = (p * p + q * q) * (1 / FINE_STEP);
      // At the rim of the reach, rounding may pass the last step.
      const step = Math.min(t | 0, FINE_STEPS);
      const before = fine[step];
      into[from + n] = (gain + n * gainStep) * (before + (t - step) * (fine[step + 1] - before));
    }
  }
}

/** A row of pixels as the profile sees it. */
export interface ProfileRow {
  p: number;
  q: number;
  readonly dp: number;
  readonly dq: number;
  gain: number;
  readonly gainStep: number;
}

/** A round spot for a start: flat to `radius`, soft over `edge`, both in pitches. */
export function roundProfile(radius: number, edge: number): SpotProfile {
  const coefficients = new Float64Array(COEFFICIENTS);
  for (let knot = 0; knot < KNOTS - 3; knot++) {
    coefficients[knot] = 1 / (1 + Math.exp((Math.sqrt(knotSquare(knot)) - radius) / edge));
  }
  return normalised({ coefficients }).profile;
}

/** Share of each spline's integral over s that lies at s ≥ 0 (the first three reach below). */
const INSIDE = [1 / 24, 1 / 2, 23 / 24];

/** The same shape with integral 1, and the integral it had: ∫ T dp dq = π ∫ R₀ ds, the other harmonics cancel over a turn. */
export function normalised({ coefficients }: SpotProfile): { profile: SpotProfile; integral: number } {
  let sum = 0;
  for (let knot = 0; knot < KNOTS; knot++) sum += coefficients[knot] * (INSIDE[knot] ?? 1);
  const integral = Math.PI * STEP * sum;
  return { profile: { coefficients: coefficients.map((value) => value / integral) }, integral };
}

const CENTROID_RINGS = 100;

/**
 * Centre of gravity of profiles in pitches, over what lies within `radius` of the middle: only R₁ and R₂ have moments, so
 * that it is ½ ∫ s R₁ ds / ∫ R₀ ds to the right, and the same with R₂ downwards.
 */
export function centroidWithin(radius: number): (profile: SpotProfile) => [number, number] {
  // Both integrals are linear in the coefficients.
  const [share, moment] = [new Float64Array(KNOTS), new Float64Array(KNOTS)];
  const basis = new ProfileBasis();
  for (let n = 0; n < CENTROID_RINGS; n++) {
    // Rings of equal area.
    const s = (radius * radius * (n + 0.5)) / CENTROID_RINGS;
    basis.moveTo(Math.sqrt(s), 0);
    basis.weights.forEach((weight, m) => {
      share[basis.first + m] += weight;
      moment[basis.first + m] += (s * weight) / 2;
    });
  }
  return ({ coefficients }) => {
    let sum = 0;
    let p = 0;
    let q = 0;
    for (let knot = 0; knot < KNOTS; knot++) {
      sum += share[knot] * coefficients[knot];
      p += moment[knot] * coefficients[KNOTS + knot];
      q += moment[knot] * coefficients[2 * KNOTS + knot];
    }
    return [p / sum, q / sum];
  };
}
