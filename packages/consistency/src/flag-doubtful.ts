import type { LitShot } from '@twolamp/flux';
import type { PairResult, PairShot, Result } from '@twolamp/session';
import type { Consistency } from './check-consistency.js';

/** What of a result rests on where the lamps are stated to stand. */
export type DoubtedParts = Pick<Result, 'cells' | 'pairs' | 'resolving' | 'wall'>;

const MM_PER_M = 1000;

/** Pairs in the session's order; those left out of the measurement have no figures. */
export function withLeftOut(
  measured: readonly PairResult[],
  all: readonly LitShot<PairShot>[],
): PairResult[] {
  const found = new Map(measured.map((pair) => [pair.photo, pair]));
  return all.map(
    ({ shot }) =>
      found.get(shot.photo) ?? {
        photo: shot.photo,
        distanceM: shot.distanceMm / MM_PER_M,
        spacingM: shot.spacingMm / MM_PER_M,
        turnedDeg: shot.turnedDeg,
        separationCells: null,
        separationUncertainty: null,
        dip: null,
        dipUncertainty: null,
        separate: null,
        doubtful: true,
      },
  );
}

/**
 * Marks the figures that rest on what is doubted.
 *
 * @param bore - whether the stated bore is doubted, on which the wall's gloss rests
 */
export function flagged(
  { cells, pairs, resolving, wall }: DoubtedParts,
  { doubtful }: Pick<Consistency, 'doubtful'>,
  bore: boolean,
): DoubtedParts {
  const mark = { doubtful: true } as const;
  return {
    cells: doubtful.pointing
      ? cells.map((cell) => ({ ...cell, pointing: cell.pointing && { ...cell.pointing, ...mark } }))
      : cells,
    pairs: doubtful.pairs ? pairs.map((pair) => ({ ...pair, ...mark })) : pairs,
    resolving: resolving && doubtful.pairs ? { ...resolving, ...mark } : resolving,
    wall: wall && (doubtful.pointing || bore) ? { ...wall, ...mark } : wall,
  };
}
