import { bisquare, madScale } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import type { CellsOnPicture } from './cells-on-picture.js';

/** Cells that tell where the light is brightest, at least, and the share of the brightest one's light they have. */
const LEAST_CELLS = 8;
const TELLING_SHARE = 0.15;
const ROUNDS = 4;
const CUTOFF_SIGMAS = 3;

/** How far beyond the outermost of them it may lie, pitches. */
const BESIDE_PITCHES = 0.6;

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
  const least = TELLING_SHARE * flux.reduce((most, value) => Math.max(most, value), 0);
  const telling = Array.from(flux.keys()).filter((k) => flux[k]! > least);
  if (!(least > 0) || telling.length < LEAST_CELLS) return null;
  const [x0, y0] = [x, y].map((all) => telling.reduce((sum, k) => sum + all[k]!, 0) / telling.length) as [
    number,
    number,
  ];
  const rows = telling.map((k) => {
    const [dx, dy] = [x[k]! - x0, y[k]! - y0];
    return [1, dx, dy, dx * dx + dy * dy];
  });
  const logs = telling.map((k) => Math.log(flux[k]!));
  let trust = telling.map((k) => flux[k]!);
  let terms: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const weighted = new Matrix(rows.map((row, n) => row.map((term) => term * trust[n]!)));
    const target = Matrix.columnVector(logs.map((value, n) => value * trust[n]!));
    terms = solve(weighted, target, true).to1DArray();
    const off = logs.map(
      (value, n) =>
        flux[telling[n]!]! * (value - rows[n]!.reduce((sum, term, i) => sum + term * terms[i]!, 0)),
    );
    const scale = CUTOFF_SIGMAS * madScale(off, 0);
    trust = telling.map((k, n) => flux[k]! * (scale > 0 ? Math.sqrt(bisquare(off[n]! / scale)) : 1));
  }
  const [, right, down, bend] = terms;
  if (!(bend! < 0)) return null;
  const within = (all: ArrayLike<number>, place: number): number => {
    const seen = telling.map((k) => all[k]!);
    const beside = BESIDE_PITCHES * pitchPx;
    return Math.min(Math.max(place, Math.min(...seen) - beside), Math.max(...seen) + beside);
  };
  return [within(x, x0 - right! / (2 * bend!)), within(y, y0 - down! / (2 * bend!))];
}
