import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { Patches } from './patches.js';
import type { ShotSolution } from './solve-shot.js';

/** Pixels nearer than this to a cell's middle, in pitches, are its own: no two cells' discs overlap. */
const OWN_PITCHES = 0.5;
/**
 * Cells less clear of noise, or dimmer against the brightest one, keep the sheet's footprint: how their own light lies
 * can't be seen.
 */
const CLEAR_SIGMAS = 10;
const CLEAR_SHARE = 0.02;
/** Terms of a polynomial of the third degree in the place. */
const TERMS = 10;
/** Usual size of its terms, in the spot's own brightness: as large as a half-lit bore makes them. */
const TERM_SIGMA = 0.5;
/** Distance in pitches at which its terms come to 1, and stay so farther out: the rim of a usual bore. */
const RIM = 0.43;
/** A polynomial that takes away more of the light than this is none that a spot could have. */
const MOST_TAKEN = 0.5;

/** A clear spot with the pixels of its own disc: where each lies in the cell's patch and in the picture. */
export interface ClearSpot {
  readonly cell: number;
  readonly inPatch: readonly number[];
  readonly inPicture: readonly number[];
}

/**
 * Spots whose light is clear enough to tell how it lies.
 *
 * @param solution - found with these patches and with weights that are 1/variance
 * @param usable - 1 for pixels that count
 * @param width - picture width
 */
export function clearSpots(
  cells: CellsOnPicture,
  patches: Patches,
  { flux, matrix }: ShotSolution,
  usable: Uint8Array,
  width: number,
): ClearSpot[] {
  const most = flux.reduce((one, other) => Math.max(one, other), 0);
  return Array.from(flux.keys())
    .filter((k) => flux[k]! > CLEAR_SHARE * most && flux[k]! * Math.sqrt(matrix.diagonal[k]!) > CLEAR_SIGMAS)
    .map((k) => spotOf(cells, patches, k, usable, width));
}

/**
 * Footprints of spots as a lamp lights them. Seen aslant, it lights but a part of a dark bore, a lens or a crescent: each
 * clear spot gets a footprint of its own, the sheet's times a polynomial of the place, by least squares over its own
 * pixels. (Our own method.)
 *
 * @param patches - the sheet's footprints
 * @param solution - found with them
 * @param weights - 1/variance of each pixel of the picture
 */
export function lampPatches(
  cells: CellsOnPicture,
  patches: Patches,
  solution: ShotSolution,
  spots: readonly ClearSpot[],
  weights: Float32Array,
): Patches {
  const values = patches.values.slice();
  for (const spot of spots) {
    const amounts = polynomialOf(cells, patches, solution, spot, weights);
    if (amounts) shape(cells, patches, spot.cell, amounts, values);
  }
  return { ...patches, values };
}

/**
 * Lights of the cells with what their footprints leave over on their own pixels added where spots are clear: however the
 * light lies within a spot, its sum is right.
 *
 * @param patches - those that `solution` was found with
 */
export function wholeLights(
  patches: Patches,
  { flux, residual }: ShotSolution,
  spots: readonly ClearSpot[],
): Float64Array {
  const whole = flux.slice();
  for (const { cell, inPatch, inPicture } of spots) {
    const share = inPatch.reduce((sum, at) => sum + patches.values[at]!, 0);
    const over = inPicture.reduce((sum, pixel) => sum + residual[pixel]!, 0);
    if (share > 0) whole[cell]! += over / share;
  }
  return whole;
}

const terms = new Float64Array(TERMS);

/** Sets the terms for a pixel of a cell's patch; returns its distance from the cell's middle, pitches. */
function takeTerms({ x, y, toPitch: t }: CellsOnPicture, patches: Patches, k: number, at: number): number {
  const n = at - patches.start[k]!;
  const dx = patches.left[k]! + (n % patches.width[k]!) - x[k]!;
  const dy = patches.top[k]! + Math.floor(n / patches.width[k]!) - y[k]!;
  const ahead = (t[4 * k]! * dx + t[4 * k + 1]! * dy) / RIM;
  const aside = (t[4 * k + 2]! * dx + t[4 * k + 3]! * dy) / RIM;
  const distance = Math.hypot(ahead, aside);
  // What lies beyond the rim has spread from it.
  const p = ahead / Math.max(1, distance);
  const q = aside / Math.max(1, distance);
  terms[0] = 1;
  terms[1] = p;
  terms[2] = q;
  terms[3] = p * p - q * q;
  terms[4] = 2 * p * q;
  terms[5] = p * p + q * q - 0.5;
  terms[6] = p * (p * p - 3 * q * q);
  terms[7] = q * (3 * p * p - q * q);
  terms[8] = p * (3 * (p * p + q * q) - 2);
  terms[9] = q * (3 * (p * p + q * q) - 2);
  return RIM * distance;
}

function spotOf(
  cells: CellsOnPicture,
  patches: Patches,
  k: number,
  usable: Uint8Array,
  width: number,
): ClearSpot {
  const [inPatch, inPicture]: [number[], number[]] = [[], []];
  let at = patches.start[k]!;
  for (let row = 0; row < patches.height[k]!; row++) {
    let pixel = (patches.top[k]! + row) * width + patches.left[k]!;
    for (const end = at + patches.width[k]!; at < end; at++, pixel++) {
      if (!usable[pixel] || takeTerms(cells, patches, k, at) >= OWN_PITCHES) continue;
      inPatch.push(at);
      inPicture.push(pixel);
    }
  }
  return { cell: k, inPatch, inPicture };
}

/** Amounts of the polynomial's terms that explain a spot's own pixels best; null where they don't tell. */
function polynomialOf(
  cells: CellsOnPicture,
  patches: Patches,
  { flux, residual }: ShotSolution,
  { cell: k, inPatch, inPicture }: ClearSpot,
  weights: Float32Array,
): readonly number[] | null {
  const normal = Matrix.zeros(TERMS, TERMS);
  const side = Matrix.zeros(TERMS, 1);
  let variance = 0;
  inPatch.forEach((at, i) => {
    const pixel = inPicture[i]!;
    takeTerms(cells, patches, k, at);
    const light = flux[k]! * patches.values[at]!;
    variance += 1 / weights[pixel]! / inPatch.length;
    for (let m = 0; m < TERMS; m++) {
      side.set(m, 0, side.get(m, 0) + light * terms[m]! * (residual[pixel]! + light));
      for (let other = 0; other < TERMS; other++) {
        normal.set(m, other, normal.get(m, other) + light * light * (terms[m]! * terms[other]!));
      }
    }
  });
  for (let m = 1; m < TERMS; m++) normal.set(m, m, normal.get(m, m) + variance / TERM_SIGMA ** 2);
  const decomposition = new CholeskyDecomposition(normal);
  return decomposition.isPositiveDefinite() ? decomposition.solve(side).to1DArray() : null;
}

/** Writes a cell's patch times a polynomial, its sum left as it is; where that can't be, the patch stays. */
function shape(
  cells: CellsOnPicture,
  patches: Patches,
  k: number,
  amounts: readonly number[],
  values: Float32Array,
): void {
  const [from, to] = [patches.start[k]!, patches.start[k + 1]!];
  const own = patches.values.slice(from, to);
  let [before, after] = [0, 0];
  for (let n = 0; n < own.length; n++) {
    takeTerms(cells, patches, k, from + n);
    before += own[n]!;
    own[n]! *= Math.max(
      0,
      amounts.reduce((sum, amount, m) => sum + amount * terms[m]!, 0),
    );
    after += own[n]!;
  }
  if (after > (1 - MOST_TAKEN) * before)
    values.set(
      own.map((value) => value * (before / after)),
      from,
    );
}
