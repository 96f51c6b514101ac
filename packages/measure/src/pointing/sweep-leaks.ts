import type { ArraySpec } from '@twolamp/session';
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { type CommonAcceptance, sharedPrior } from './common-acceptance.js';
import { fitTube } from './fit-tube.js';
import type { PointingSurvey } from './measure-pointing.js';
import { startShape } from './start-shapes.js';
import type { Sweep } from './sweep.js';
import { tubeData } from './tube-data.js';
import { evaluateShape, SHAPE_SIZE, SHARED_SIZE, type TubeShape } from './tube-shape.js';
import { madScale, median } from '@twolamp/numeric';
import { neighboursOf } from '../neighbours.js';

/** Light that enters one tube and leaves by a neighbour, as a sweep shows it; cells in reading order. */
export interface SweepLeak {
  readonly from: number;
  readonly to: number;
  /** Share of the light of `from`, less what neighbours typically get. */
  readonly share: number;
  readonly sigma: number;
}

/**
 * Leaks between neighbours from a lamp sweep: a tube lights up while the lamp stands where its leaky neighbour looks and
 * the tube itself does not. Each tube's readings are fitted by its own acceptance, with free height, direction and width,
 * and a share of its neighbour's readings.
 *
 * Unless the array diverges widely, neighbours see much the same lamps, and a leak is hard to separate from a small
 * misaim; the uncertainty reflects that. It is scaled up until healthy pairs scatter as stated.
 *
 * Pairs with a tube without a pointing are left out, and leaks of tubes with a free shape.
 *
 * @returns none without a usable sweep
 */
export function sweepLeaks(
  array: ArraySpec,
  { sweep, common, tubes }: Pick<PointingSurvey, 'sweep' | 'common' | 'tubes'>,
): SweepLeak[] {
  if (sweep === null || common === null) return [];
  const byDistance = new Map<number, SweepLeak[]>();
  for (let to = 0; to < tubes.length; to++) {
    const pointed = tubes[to];
    if (pointed === null) continue;
    const fit = leakFitter(sweep, common, to, pointed.ownShape ? null : pointed.shape);
    for (const { cell, pitches } of neighboursOf(array, to)) {
      if (!(tubes[cell]?.ownShape === false)) continue;
      // Distances that differ by rounding only are one.
      const tenths = Math.round(10 * pitches);
      const found = fit(sweep.response.subarray(cell * sweep.lamps, (cell + 1) * sweep.lamps));
      if (found === null) continue;
      byDistance.set(tenths, [...(byDistance.get(tenths) ?? []), { from: cell, to, ...found }]);
    }
  }
  return [...byDistance.values()].flatMap(overTypical);
}

/** Shares less the typical one, with uncertainties scaled up to the shares' scatter. */
function overTypical(leaks: readonly SweepLeak[]): SweepLeak[] {
  const typical = median(leaks.map((leak) => leak.share));
  const stretch = Math.max(1, madScale(leaks.map((leak) => (leak.share - typical) / leak.sigma)));
  return leaks.map((leak) => ({ ...leak, share: leak.share - typical, sigma: stretch * leak.sigma }));
}

/**
 * Fits a share of a neighbour's readings beside a tube's own acceptance; null where the two are proportional.
 *
 * @param start - the tube's acceptance as found before; null = not known
 */
function leakFitter(
  sweep: Sweep,
  common: CommonAcceptance,
  tube: number,
  start: TubeShape | null,
): (neighbour: Float64Array) => { share: number; sigma: number } | null {
  const data = tubeData(sweep, tube, common.modelError, null);
  const { acceptance } = common;
  const from = start ?? startShape(acceptance, data);
  const { shape } = fitTube(acceptance, data, from, sharedPrior(common.widthScatter));
  const gradient = new Float64Array(SHAPE_SIZE);
  const own = new Matrix(sweep.lamps, SHARED_SIZE);
  const missed = new Float64Array(sweep.lamps);
  for (let k = 0; k < sweep.lamps; k++) {
    const model = evaluateShape(acceptance.profile, shape, data.across[k], data.up[k], gradient);
    const weight = data.clipped[k] ? 0 : 1 / data.sigma[k];
    missed[k] = weight * (data.response[k] - model);
    for (let i = 0; i < SHARED_SIZE; i++) own.set(k, i, weight * gradient[i]);
  }
  const normal = own.transpose().mmul(own);
  for (let i = 0; i < SHARED_SIZE; i++) normal.set(i, i, normal.get(i, i) * (1 + 1e-9) || 1);
  const solver = new CholeskyDecomposition(normal);
  /** The part of a column that the tube's own acceptance does not explain. */
  const beside = (column: Float64Array): Float64Array => {
    const vector = Matrix.columnVector(column);
    const part = own.mmul(solver.solve(own.transpose().mmul(vector)));
    return column.map((value, k) => value - part.get(k, 0));
  };
  const left = beside(missed);
  return (neighbour) => {
    const light = beside(
      neighbour.map((value, k) => (data.clipped[k] ? 0 : Math.max(0, value) / data.sigma[k])),
    );
    let square = 0;
    let pull = 0;
    for (let k = 0; k < light.length; k++) {
      square += light[k] ** 2;
      pull += light[k] * left[k];
    }
    if (!(square > 0)) return null;
    // The ratio is against the light that is left in the neighbour; the share is of all that entered it.
    const ratio = pull / square;
    return { share: ratio > 0 ? ratio / (1 + ratio) : ratio, sigma: 1 / Math.sqrt(square) };
  };
}
