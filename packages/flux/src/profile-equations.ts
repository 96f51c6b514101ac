import { factorPositive, substitute } from '@twolamp/numeric';
import { KNOTS, knotSquare, type ProfileBasis, REACH } from './spot-profile.js';
import { SOFT_RADIUS } from './tuning.js';

const BEND = [1, -2, 1];
/** Tolerance. Weight of second differences against the data: few pixels may reach a knot. */
const SMOOTHING = 2e-4;
/** Tolerance. Damping of the round part against that of departures from it: tails are round. */
const ROUND_DAMPING = 0.01;
/** Splines that reach a place. */
const SPLINES = 4;

/**
 * Normal equations of a profile's coefficients and what else is unknown, summed pixel by pixel. Inside, the harmonics of
 * one knot lie side by side: what a cell adds to a pixel is one run of unknowns.
 */
export class ProfileEquations {
  /** The lower triangle counts. */
  private readonly square: Float64Array;
  private readonly side: Float64Array;
  /** Factors of the unknowns in the pixel at hand, and which knots and which of the other unknowns it has. */
  private readonly value: Float64Array;
  private readonly isUsed: Uint8Array;
  /** First unknown of each run that it has, and the one after the last. */
  private readonly runs: Int32Array;
  private readonly size: number;

  /**
   * @param harmonics - of the profile: 1 for a round one
   * @param others - unknowns after the profile's coefficients
   */
  constructor(
    private readonly harmonics: number,
    others: number,
  ) {
    this.size = harmonics * KNOTS + others;
    this.square = new Float64Array(this.size * this.size);
    this.side = new Float64Array(this.size);
    this.value = new Float64Array(this.size);
    this.isUsed = new Uint8Array(KNOTS + others);
    this.runs = new Int32Array(this.size + 1);
  }

  /** A cell's profile in the pixel at hand, so bright; terms of cells equally far away add up. */
  spot({ first, weights, harmonics }: ProfileBasis, light: number): void {
    const { value, isUsed, harmonics: count } = this;
    for (let m = 0, at = first * count; m < SPLINES; m++) {
      const scaled = light * weights[m];
      isUsed[first + m] = 1;
      for (let h = 0; h < count; h++, at++) value[at] += scaled * harmonics[h];
    }
  }

  /** The n-th of the other unknowns in the pixel at hand. */
  other(n: number, value: number): void {
    this.value[this.harmonics * KNOTS + n] += value;
    this.isUsed[KNOTS + n] = 1;
  }

  /** Ends the pixel: its terms should add up to `target`. */
  close(target: number, weight: number): void {
    const { value, isUsed, runs } = this;
    let found = 0;
    for (let place = 0; place < isUsed.length; place++) {
      if (isUsed[place] !== (found & 1)) runs[found++] = this.unknownAt(place);
    }
    if (found & 1) runs[found++] = this.size;
    for (let run = 0; run < found; run += 2) {
      let m = runs[run];
      for (; m + 4 <= runs[run + 1]; m += 4) this.addFourRows(m, run, target, weight);
      for (; m < runs[run + 1]; m++) this.addRow(m, run, target, weight);
    }
    for (let run = 0; run < found; run += 2) value.fill(0, runs[run], runs[run + 1]);
    isUsed.fill(0);
  }

  /** First unknown of a knot, or the other unknown. */
  private unknownAt(place: number): number {
    return place < KNOTS ? place * this.harmonics : place + (this.harmonics - 1) * KNOTS;
  }

  /** Adds the pixel's products to four rows of a run: each factor is fetched once for all of them. */
  private addFourRows(m: number, run: number, target: number, weight: number): void {
    const { value, runs, square, side, size } = this;
    const a = weight * value[m];
    const b = weight * value[m + 1];
    const c = weight * value[m + 2];
    const d = weight * value[m + 3];
    side[m] += a * target;
    side[m + 1] += b * target;
    side[m + 2] += c * target;
    side[m + 3] += d * target;
    const rowA = m * size;
    const rowB = rowA + size;
    const rowC = rowB + size;
    const rowD = rowC + size;
    for (let before = 0; before <= run; before += 2) {
      // Some of it lies above the diagonal, where nobody looks.
      const end = before === run ? m + 4 : runs[before + 1];
      for (let n = runs[before]; n < end; n++) {
        const factor = value[n];
        square[rowA + n] += a * factor;
        square[rowB + n] += b * factor;
        square[rowC + n] += c * factor;
        square[rowD + n] += d * factor;
      }
    }
  }

  /** The same for one row. */
  private addRow(m: number, run: number, target: number, weight: number): void {
    const { value, runs, square, side, size } = this;
    const scaled = weight * value[m];
    side[m] += scaled * target;
    for (let before = 0; before <= run; before += 2) {
      const end = before === run ? m + 1 : runs[before + 1];
      for (let n = runs[before]; n < end; n++) square[m * size + n] += scaled * value[n];
    }
  }

  /**
   * Solves with the splines lightly smoothed along s; coefficients are damped more strongly the farther out
   * they lie, and the last three, which reach beyond, are 0.
   *
   * @param lights - how many unknowns after the coefficients are lights, or parts of the wings: those that would come
   *   out negative are left out, as 0
   * @returns the profile's coefficients, harmonic by harmonic, then the others
   */
  solveSoftly(lights: number): Float64Array {
    const { side, size } = this;
    const count = this.harmonics * KNOTS;
    const square = this.square.slice();
    soften(square, size, this.harmonics);
    const dropped = new Set<number>();
    for (;;) {
      const kept = Array.from({ length: size }, (_, r) => r).filter((r) => !dropped.has(r));
      const values = Float64Array.from(kept, (r) => side[r]);
      substitute(factorPositive(partOf(square, size, kept), kept.length), values);
      const solved = new Float64Array(size);
      kept.forEach((r, n) => {
        solved[r] = values[n];
      });
      let worst = count;
      for (let r = worst; r < count + lights; r++) if (solved[r] < solved[worst]) worst = r;
      if (lights === 0 || solved[worst] >= 0) return this.byHarmonics(solved);
      dropped.add(worst);
    }
  }

  /** Coefficients harmonic by harmonic, as profiles have them, then the others. */
  private byHarmonics(solved: Float64Array): Float64Array {
    const { harmonics } = this;
    const count = harmonics * KNOTS;
    return solved.map((value, at) =>
      at < count ? solved[(at % KNOTS) * harmonics + Math.floor(at / KNOTS)] : value,
    );
  }
}

/** Some rows and columns of a symmetric matrix; the lower triangle counts. */
function partOf(square: Float64Array, size: number, kept: readonly number[]): Float64Array {
  if (kept.length === size) return square;
  const part = new Float64Array(kept.length ** 2);
  for (let r = 0, to = 0; r < kept.length; r++, to += kept.length) {
    for (let c = 0; c <= r; c++) part[to + c] = square[kept[r] * size + kept[c]];
  }
  return part;
}

/** Smooths the coefficients, and damps them towards the rim. @param square - the lower triangle counts */
function soften(square: Float64Array, size: number, harmonics: number): void {
  for (let h = 0; h < harmonics; h++) {
    const at = (knot: number): number => knot * harmonics + h;
    let mean = 0;
    for (let knot = 0; knot < KNOTS; knot++) mean += square[at(knot) * (size + 1)] / KNOTS;
    for (let knot = 0; knot < KNOTS; knot++) {
      const outside = Math.max(0, Math.sqrt(knotSquare(knot)) - SOFT_RADIUS) / (REACH - SOFT_RADIUS);
      const damping = 1e-9 + (h > 0 ? 1 : ROUND_DAMPING) * outside ** 2 + (knot >= KNOTS - 3 ? 1e6 : 0);
      square[at(knot) * (size + 1)] += mean * damping;
      if (knot < 1 || knot > KNOTS - 2) continue;
      for (let m = 0; m < BEND.length; m++) {
        for (let n = 0; n <= m; n++) {
          square[at(knot - 1 + m) * size + at(knot - 1 + n)] += mean * SMOOTHING * (BEND[m] * BEND[n]);
        }
      }
    }
  }
  for (let at = harmonics * KNOTS * (size + 1); at < square.length; at += size + 1) {
    square[at] += 1e-9 * square[at] + 1e-30;
  }
}
