import { solveCholesky } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import type { CellsOnPicture } from './cells-on-picture.js';
import { ownRoom, type Room } from './room.js';
import type { ShotSolution } from './solve-shot.js';
import type { Stamps } from './stamps.js';
import { LAMP_SPOTS } from './tuning.js';

/** Pixels nearer than this to a cell's middle, in pitches, are its own: no two cells' discs overlap. */
export const OWN_PITCHES = 0.5;
/** Terms of a polynomial of the third degree in the place. */
const TERMS = 10;

/** Spots whose light is clear enough to show how it lies, with the pixels of each cell's own disc. */
export interface ClearSpots {
  readonly cells: readonly number[];
  /** The pixels of the n-th spot are start[n] to start[n + 1] − 1. */
  readonly start: Int32Array;
  /** Where each pixel lies in the stamps' values, and in the picture. */
  readonly inStamps: Int32Array;
  readonly inPicture: Int32Array;
}

/**
 * Finds the clear spots.
 *
 * @param solution - found with these stamps and with weights that are 1/variance
 * @param usable - 1 for pixels that count
 * @param width - picture width
 */
export function clearSpots(
  cells: CellsOnPicture,
  stamps: Stamps,
  { flux, matrix }: Pick<ShotSolution, 'flux' | 'matrix'>,
  usable: Uint8Array,
  width: number,
): ClearSpots {
  const most = flux.reduce((one, other) => Math.max(one, other), 0);
  const clear = Array.from(flux.keys()).filter(
    (k) =>
      flux[k] > LAMP_SPOTS.clearShare * most &&
      flux[k] * Math.sqrt(matrix.diagonal[k]) > LAMP_SPOTS.clearSigmas,
  );
  const start = new Int32Array(clear.length + 1);
  const room = clear.reduce((sum, k) => sum + stamps.start[k + 1] - stamps.start[k], 0);
  const [inStamps, inPicture] = [new Int32Array(room), new Int32Array(room)];
  clear.forEach((k, n) => {
    let filled = start[n];
    const t = cells.toPitch.subarray(4 * k, 4 * k + 4);
    for (let row = 0, at = stamps.start[k]; row < stamps.height[k]; row++) {
      const dy = stamps.top[k] + row - cells.y[k];
      const pixel = (stamps.top[k] + row) * width + stamps.left[k];
      for (let column = 0; column < stamps.width[k]; column++, at++) {
        const dx = stamps.left[k] + column - cells.x[k];
        const p = t[0] * dx + t[1] * dy;
        const q = t[2] * dx + t[3] * dy;
        if (p * p + q * q >= OWN_PITCHES * OWN_PITCHES || !usable[pixel + column]) continue;
        inStamps[filled] = at;
        inPicture[filled++] = pixel + column;
      }
    }
    start[n + 1] = filled;
  });
  const filled = start[clear.length];
  return {
    cells: clear,
    start,
    inStamps: inStamps.subarray(0, filled),
    inPicture: inPicture.subarray(0, filled),
  };
}

/**
 * Profiles of spots as a lamp lights them. Seen aslant, it lights but a part of a dark bore, a lens or a crescent: each
 * clear spot gets a profile of its own, the sheet's times a polynomial of the place, by least squares over its own
 * pixels. (Our own method.)
 *
 * @param stamps - the sheet's profiles
 * @param solution - found with them
 * @param weights - 1/variance of each pixel of the picture
 */
export function lampStamps(
  cells: CellsOnPicture,
  stamps: Stamps,
  solution: ShotSolution,
  spots: ClearSpots,
  weights: Float32Array,
  room: Room = ownRoom,
): Stamps {
  const values = room(stamps.values.length);
  values.set(stamps.values);
  const fit = new SpotPolynomial(cells, stamps);
  for (let n = 0; n < spots.cells.length; n++) {
    const amounts = fit.amountsOf(n, spots, solution, weights);
    if (amounts) fit.shape(spots.cells[n], amounts, values);
  }
  return { ...stamps, values };
}

/**
 * Lights of the cells with what their profiles leave over on their own pixels added where spots are clear: however the
 * light lies within a spot, its sum is right.
 *
 * @param stamps - those that `solution` was found with
 */
export function totalLights(
  stamps: Stamps,
  { flux, residual }: Pick<ShotSolution, 'flux' | 'residual'>,
  spots: ClearSpots,
): Float64Array {
  const total = flux.slice();
  spots.cells.forEach((k, n) => {
    let [share, over] = [0, 0];
    for (let i = spots.start[n]; i < spots.start[n + 1]; i++) {
      share += stamps.values[spots.inStamps[i]];
      over += residual[spots.inPicture[i]];
    }
    if (share > 0) total[k] += over / share;
  });
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
  for (let k = 0; k < flux.length; k++) {
    const t = cells.toPitch.subarray(4 * k, 4 * k + 4);
    let [light, share] = [0, 0];
    for (let row = 0, at = stamps.start[k]; row < stamps.height[k]; row++) {
      const dy = stamps.top[k] + row - cells.y[k];
      let pixel = (stamps.top[k] + row) * width + stamps.left[k];
      let dx = stamps.left[k] - cells.x[k];
      for (const end = at + stamps.width[k]; at < end; at++, pixel++, dx++) {
        const p = t[0] * dx + t[1] * dy;
        const q = t[2] * dx + t[3] * dy;
        if (p * p + q * q >= OWN_PITCHES * OWN_PITCHES || !usable[pixel]) continue;
        light += data[pixel];
        share += stamps.values[at];
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

  constructor(
    private readonly cells: CellsOnPicture,
    private readonly stamps: Stamps,
  ) {}

  /** Amounts of the terms that explain the n-th spot's own pixels best; null where they don't determine them. */
  amountsOf(
    n: number,
    spots: ClearSpots,
    { flux, residual }: ShotSolution,
    weights: Float32Array,
  ): Float64Array | null {
    const { terms, square, side, stamps } = this;
    const k = spots.cells[n];
    square.fill(0);
    side.fill(0);
    let variance = 0;
    const [from, end] = [spots.start[n], spots.start[n + 1]];
    for (let i = from; i < end; i++) {
      const at = spots.inStamps[i];
      const pixel = spots.inPicture[i];
      const within = at - stamps.start[k];
      const row = Math.trunc(within / stamps.width[k]);
      this.takeTerms(k, within - row * stamps.width[k], row);
      const light = flux[k] * stamps.values[at];
      const seen = light * (residual[pixel] + light);
      const squared = light * light;
      variance += 1 / weights[pixel];
      for (let m = 0; m < TERMS; m++) {
        const scaled = squared * terms[m];
        side[m] += seen * terms[m];
        for (let other = 0; other <= m; other++) square[m * TERMS + other] += scaled * terms[other];
      }
    }
    const hold = variance / (end - from) / LAMP_SPOTS.termSigma ** 2;
    for (let m = 1; m < TERMS; m++) square[m * TERMS + m] += hold;
    return solveCholesky(square, side) ? side : null;
  }

  /** Writes a cell's stamp times a polynomial, its sum left as it is; where that can't be, the stamp stays. */
  shape(k: number, a: Float64Array, values: Float32Array): void {
    const { stamps, terms } = this;
    const [from, to] = [stamps.start[k], stamps.start[k + 1]];
    const sheet = stamps.values;
    let [before, after] = [0, 0];
    for (let row = 0, at = from; row < stamps.height[k]; row++) {
      for (let column = 0; column < stamps.width[k]; column++, at++) {
        const own = sheet[at];
        if (own === 0) continue;
        this.takeTerms(k, column, row);
        let factor = 0;
        for (let m = 0; m < TERMS; m++) factor += a[m] * terms[m];
        before += own;
        values[at] = factor > 0 ? own * factor : 0;
        after += values[at];
      }
    }
    const scale = after > (1 - LAMP_SPOTS.mostTaken) * before ? before / after : 0;
    for (let at = from; at < to; at++) values[at] = scale > 0 ? values[at] * scale : sheet[at];
  }

  /** Sets the terms for a pixel of a cell's stamp. */
  private takeTerms(k: number, column: number, row: number): void {
    const { cells, stamps, terms } = this;
    const t = cells.toPitch;
    const dx = stamps.left[k] + column - cells.x[k];
    const dy = stamps.top[k] + row - cells.y[k];
    let p = (t[4 * k] * dx + t[4 * k + 1] * dy) / LAMP_SPOTS.rimPitches;
    let q = (t[4 * k + 2] * dx + t[4 * k + 3] * dy) / LAMP_SPOTS.rimPitches;
    const square = p * p + q * q;
    if (square > 1) {
      // What lies beyond the rim has spread from it.
      const shrink = 1 / Math.sqrt(square);
      p *= shrink;
      q *= shrink;
    }
    const [pp, qq] = [p * p, q * q];
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
}
