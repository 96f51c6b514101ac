import { solveCholesky } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import type { CellsOnPicture } from './cells-on-picture.js';
import { OwnDiscs } from './own-discs.js';
import type { ShotSolution } from './solve-shot.js';
import { largestStamp, type Stamps } from './stamps.js';
import { LAMP_SPOTS } from './tuning.js';

/** Terms of a polynomial of the third degree in the place. */
const TERMS = 10;

/**
 * Cells whose light is clear enough to show how it lies.
 *
 * @param solution - found with weights that are 1/variance
 */
export function clearSpots({ flux, matrix }: Pick<ShotSolution, 'flux' | 'matrix'>): number[] {
  const most = flux.reduce((one, other) => Math.max(one, other), 0);
  return Array.from(flux.keys()).filter(
    (k) =>
      flux[k] > LAMP_SPOTS.clearShare * most &&
      flux[k] * Math.sqrt(matrix.diagonal[k]) > LAMP_SPOTS.clearSigmas,
  );
}

/**
 * Changes the stamps of clear spots to profiles as a lamp lights them. Seen aslant, it lights but a part of a dark bore, a
 * lens or a crescent: each spot gets a profile of its own, the sheet's times a polynomial of the place, by least squares
 * over its own pixels. (Our own method.)
 *
 * @param stamps - the sheet's profiles, changed in place
 * @param solution - found with them
 * @param weights - 1/variance of each pixel of the picture, 0 where it doesn't count
 * @param width - picture width
 */
export function shapeLampStamps(
  cells: CellsOnPicture,
  stamps: Stamps,
  solution: ShotSolution,
  spots: readonly number[],
  weights: Float32Array,
  width: number,
): void {
  const fit = new SpotPolynomial(cells, stamps);
  for (const k of spots) {
    const amounts = fit.amountsOf(k, solution, weights, width);
    if (amounts) fit.shape(k, amounts);
  }
}

/**
 * Lights of the cells with what their profiles leave over on their own pixels added where spots are clear: however the
 * light lies within a spot, its sum is right.
 *
 * @param stamps - those that `solution` was found with
 * @param weights - 0 where a pixel doesn't count
 * @param width - picture width
 */
export function totalLights(
  cells: CellsOnPicture,
  stamps: Stamps,
  { flux, residual }: Pick<ShotSolution, 'flux' | 'residual'>,
  spots: readonly number[],
  weights: Float32Array,
  width: number,
): Float64Array {
  const total = flux.slice();
  const discs = new OwnDiscs(cells, stamps);
  for (const k of spots) {
    discs.take(k);
    let share = 0;
    let over = 0;
    for (let row = 0; row < stamps.height[k]; row++) {
      const at = stamps.start[k] + row * stamps.width[k];
      const pixel = (stamps.top[k] + row) * width + stamps.left[k];
      for (let column = discs.from[row]; column < discs.end[row]; column++) {
        if (weights[pixel + column] === 0) continue;
        share += stamps.values[at + column];
        over += residual[pixel + column];
      }
    }
    if (share > 0) total[k] += over / share;
  }
  return total;
}

/**
 * Light of each cell by its own disc alone, with all that wings and neighbours add there: some per cent too much.
 *
 * @param usable - 1 for pixels that count
 */
export function apertureLights(
  cells: CellsOnPicture,
  stamps: Stamps,
  { data, width }: Plane,
  usable: Uint8Array,
): Float64Array {
  const flux = new Float64Array(cells.x.length);
  const discs = new OwnDiscs(cells, stamps);
  for (let k = 0; k < flux.length; k++) {
    discs.take(k);
    let light = 0;
    let share = 0;
    for (let row = 0; row < stamps.height[k]; row++) {
      const at = stamps.start[k] + row * stamps.width[k];
      const pixel = (stamps.top[k] + row) * width + stamps.left[k];
      for (let column = discs.from[row]; column < discs.end[row]; column++) {
        if (!usable[pixel + column]) continue;
        light += data[pixel + column];
        share += stamps.values[at + column];
      }
    }
    flux[k] = share > 0 ? Math.max(0, light / share) : 0;
  }
  return flux;
}

/** A spot's brightness against the sheet's profile: a polynomial of the place. */
class SpotPolynomial {
  private readonly terms = new Float64Array(TERMS);
  /** Lower triangle of the normal matrix, then of its Cholesky factor. */
  private readonly square = new Float64Array(TERMS * TERMS);
  private readonly side = new Float64Array(TERMS);
  /** Place of the pixel at hand: 1 at the rim of a bore. */
  private p = 0;
  private q = 0;
  private readonly discs: OwnDiscs;
  /** A stamp as it was. */
  private readonly before: Float32Array;

  constructor(
    private readonly cells: CellsOnPicture,
    private readonly stamps: Stamps,
  ) {
    this.discs = new OwnDiscs(cells, stamps);
    this.before = new Float32Array(largestStamp(stamps));
  }

  /** Amounts of the terms that explain a spot's own pixels best; null where they don't determine them. */
  amountsOf(
    k: number,
    { flux, residual }: ShotSolution,
    weights: Float32Array,
    width: number,
  ): Float64Array | null {
    const { terms, square, side, stamps, discs } = this;
    square.fill(0);
    side.fill(0);
    discs.take(k);
    let variance = 0;
    let count = 0;
    for (let row = 0; row < stamps.height[k]; row++) {
      const from = stamps.start[k] + row * stamps.width[k];
      const pixel = (stamps.top[k] + row) * width + stamps.left[k];
      for (let column = discs.from[row]; column < discs.end[row]; column++) {
        const weight = weights[pixel + column];
        if (weight === 0) continue;
        this.moveTo(k, column, row);
        this.takeTerms();
        const light = flux[k] * stamps.values[from + column];
        const seen = light * (residual[pixel + column] + light);
        const squared = light * light;
        variance += 1 / weight;
        count++;
        for (let m = 0; m < TERMS; m++) {
          const scaled = squared * terms[m];
          side[m] += seen * terms[m];
          for (let other = 0; other <= m; other++) square[m * TERMS + other] += scaled * terms[other];
        }
      }
    }
    const hold = variance / count / LAMP_SPOTS.termSigma ** 2;
    for (let m = 1; m < TERMS; m++) square[m * TERMS + m] += hold;
    return solveCholesky(square, side) ? side : null;
  }

  /** Multiplies a cell's stamp by a polynomial, its sum left as it is; where that can't be, the stamp stays. */
  shape(k: number, a: Float64Array): void {
    const { stamps, before } = this;
    const { values } = stamps;
    const from = stamps.start[k];
    const size = stamps.start[k + 1] - from;
    before.set(values.subarray(from, from + size));
    let sum = 0;
    let shaped = 0;
    for (let row = 0, n = 0; row < stamps.height[k]; row++) {
      for (let column = 0; column < stamps.width[k]; column++, n++) {
        const own = before[n];
        if (own === 0) continue;
        this.moveTo(k, column, row);
        const factor = this.sumOf(a);
        sum += own;
        values[from + n] = factor > 0 ? own * factor : 0;
        shaped += values[from + n];
      }
    }
    const scale = shaped > (1 - LAMP_SPOTS.mostTaken) * sum ? sum / shaped : 0;
    for (let n = 0; n < size; n++) values[from + n] = scale > 0 ? values[from + n] * scale : before[n];
  }

  /** Turns to a pixel of a cell's stamp. */
  private moveTo(k: number, column: number, row: number): void {
    const { cells, stamps } = this;
    const t = cells.toPitch;
    const dx = stamps.left[k] + column - cells.x[k];
    const dy = stamps.top[k] + row - cells.y[k];
    const p = (t[4 * k] * dx + t[4 * k + 1] * dy) / LAMP_SPOTS.rimPitches;
    const q = (t[4 * k + 2] * dx + t[4 * k + 3] * dy) / LAMP_SPOTS.rimPitches;
    const square = p * p + q * q;
    // What lies beyond the rim has spread from it.
    const shrink = square > 1 ? 1 / Math.sqrt(square) : 1;
    this.p = p * shrink;
    this.q = q * shrink;
  }

  /** Sets the terms for the pixel at hand. */
  private takeTerms(): void {
    const { terms, p, q } = this;
    const pp = p * p;
    const qq = q * q;
    terms[0] = 1;
    terms[1] = p;
    terms[2] = q;
    terms[3] = pp - qq;
    terms[4] = 2 * p * q;
    terms[5] = pp + qq - 0.5;
    terms[6] = p * (pp - 3 * qq);
    terms[7] = q * (3 * pp - qq);
    terms[8] = p * (3 * (pp + qq) - 2);
    terms[9] = q * (3 * (pp + qq) - 2);
  }

  /** The terms together at the pixel at hand, so much of each. */
  private sumOf(a: Float64Array): number {
    const { p, q } = this;
    const pp = p * p;
    const qq = q * q;
    const radial = 3 * (pp + qq) - 2;
    return (
      a[0] +
      a[3] * (pp - qq) +
      2 * a[4] * p * q +
      a[5] * (pp + qq - 0.5) +
      p * (a[1] + a[6] * (pp - 3 * qq) + a[8] * radial) +
      q * (a[2] + a[7] * (3 * pp - qq) + a[9] * radial)
    );
  }
}
