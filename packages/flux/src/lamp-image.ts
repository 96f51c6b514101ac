import { bisquare, madScale } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import type { CellsOnPicture } from './cells-on-picture.js';

/** Tolerance. Cells that show where a lamp's image lies: least number, and least share of the brightest one's light. */
const LEAST_IMAGE_CELLS = 8;
const IMAGE_SHARE = 0.15;
/** Common practice, no source. Cells farther off the hill of light, in robust standard deviations, lose their weight. */
const IMAGE_CUTOFF_SIGMAS = 3;
/** Tolerance. How far beyond the outermost of these cells a lamp's image may lie. */
const BESIDE_IMAGE_PITCHES = 0.6;

const ROUNDS = 4;
/** 1, dx, dy, dx² + dy². */
const TERMS = 4;

/**
 * Where in the picture a lamp's image lies: the top of a round hill of light, whose logarithm is a parabola; robust
 * least squares over the brighter cells, weighted by their light. It is sought among these cells and right beside them.
 *
 * @param cells - places, px
 * @param flux - their lights
 * @returns null where the light doesn't fall off to all sides
 */
export function lampImage(
  { x, y, pitchPx }: Pick<CellsOnPicture, 'x' | 'y' | 'pitchPx'>,
  flux: Float64Array,
): readonly [number, number] | null {
  const least = IMAGE_SHARE * flux.reduce((most, value) => Math.max(most, value), 0);
  const telling = Array.from(flux.keys()).filter((k) => flux[k] > least);
  if (!(least > 0) || telling.length < LEAST_IMAGE_CELLS) return null;
  const [x0, y0] = [x, y].map((all) => telling.reduce((sum, k) => sum + all[k], 0) / telling.length) as [
    number,
    number,
  ];
  const logs = telling.map((k) => Math.log(flux[k]));
  const off = new Float64Array(telling.length);
  let weights = Float64Array.from(telling, (k) => flux[k] ** 2);
  let terms: readonly number[] = [];
  const hillAt = (k: number): number => {
    const dx = (x[k] - x0) / pitchPx;
    const dy = (y[k] - y0) / pitchPx;
    return terms[0] + terms[1] * dx + terms[2] * dy + terms[3] * (dx * dx + dy * dy);
  };
  for (let round = 0; round < ROUNDS; round++) {
    const square = Matrix.zeros(TERMS, TERMS);
    const side = Matrix.zeros(TERMS, 1);
    telling.forEach((k, n) => {
      const dx = (x[k] - x0) / pitchPx;
      const dy = (y[k] - y0) / pitchPx;
      const row = [1, dx, dy, dx * dx + dy * dy];
      for (let i = 0; i < TERMS; i++) {
        const weighted = weights[n] * row[i];
        side.set(i, 0, side.get(i, 0) + weighted * logs[n]);
        for (let j = 0; j < TERMS; j++) square.set(i, j, square.get(i, j) + weighted * row[j]);
      }
    });
    terms = solve(square, side, true).to1DArray();
    telling.forEach((k, n) => {
      off[n] = flux[k] * (logs[n] - hillAt(k));
    });
    const scale = IMAGE_CUTOFF_SIGMAS * madScale(off, 0);
    weights = Float64Array.from(telling, (k, n) => flux[k] ** 2 * (scale > 0 ? bisquare(off[n] / scale) : 1));
  }
  const [, right, down, bend] = terms;
  if (!(bend < 0)) return null;
  const within = (all: ArrayLike<number>, place: number): number => {
    const seen = telling.map((k) => all[k]);
    const beside = BESIDE_IMAGE_PITCHES * pitchPx;
    return Math.min(Math.max(place, Math.min(...seen) - beside), Math.max(...seen) + beside);
  };
  return [within(x, x0 - (pitchPx * right) / (2 * bend)), within(y, y0 - (pitchPx * down) / (2 * bend))];
}
