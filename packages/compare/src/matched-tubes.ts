import { placeLayout } from '@twolamp/optics';
import { matchPacked } from './match-packed.js';
import { type CellResult, type ComparisonFinding, finding, InputError, type Result } from '@twolamp/session';

/** One tube in both results. */
export interface MatchedTube {
  readonly earlier: CellResult;
  readonly later: CellResult;
}

/**
 * The cells of a result with rows and columns by place: index = (row − 1) · columns + column − 1; nothing where the array
 * has no hole.
 * @param which - 'the earlier result', say, for the message
 * @throws InputError where a place is listed twice, lies outside the array or is missing
 */
function byPlace({ array, cells }: Result, which: string): (CellResult | undefined)[] {
  const ordered: (CellResult | undefined)[] = [];
  for (const cell of cells) {
    const [row, column] = [cell.row ?? 0, cell.column ?? 0];
    const index = (row - 1) * array.columns + column - 1;
    const outside = row < 1 || column < 1 || row > array.rows || column > array.columns;
    if (outside || ordered[index] !== undefined) {
      throw new InputError(
        which,
        `row ${cell.row}, column ${cell.column} ${outside ? 'lies outside the array' : 'is there twice'}`,
        `each place of ${array.rows} rows × ${array.columns} columns once`,
      );
    }
    ordered[index] = cell;
  }
  const places = placeLayout(array).count;
  if (cells.length !== places) {
    throw new InputError(
      which,
      `${cells.length} cells`,
      array.map
        ? `one for each of the map's ${places} holes`
        : `one for each of ${array.rows} rows × ${array.columns} columns`,
    );
  }
  return ordered;
}

type Dimensions = Result['array'];

const LAYOUT = ['rows', 'columns', 'arrangement', 'shiftedRows'] as const;

const DIMENSIONS = [
  ['tubeLengthMm', 'tube-length'],
  ['tubeBoreMm', 'tube-bore'],
  ['backPitchMm', 'back-pitch'],
  ['frontPitchMm', 'front-pitch'],
] as const;

function dimensionFindings(earlier: Dimensions, later: Dimensions): ComparisonFinding[] {
  return DIMENSIONS.filter(([key]) => earlier[key] !== later[key]).map(([key, dimension]) =>
    finding('dimension-differs', 'array', { dimension, earlierMm: earlier[key], laterMm: later[key] }),
  );
}

function layoutFinding(earlier: Dimensions, later: Dimensions): ComparisonFinding {
  return finding('layouts-differ', 'tubes', {
    earlierRows: earlier.rows,
    earlierColumns: earlier.columns,
    earlierArrangement: earlier.arrangement,
    earlierShiftedRows: earlier.shiftedRows ?? null,
    laterRows: later.rows,
    laterColumns: later.columns,
    laterArrangement: later.arrangement,
    laterShiftedRows: later.shiftedRows ?? null,
  });
}

/**
 * Pairs the tubes of two results by row and column; packed ones, which have none, by their places.
 *
 * @returns the pairs in reading order; none where the arrays are laid out differently, and a finding why
 * @throws InputError where a result doesn't hold each place once
 */
export function matchTubes(
  earlier: Result,
  later: Result,
): { tubes: MatchedTube[]; findings: ComparisonFinding[] } {
  if (earlier.array.arrangement === 'packed' && later.array.arrangement === 'packed') {
    return matchPackedTubes(earlier, later);
  }
  const dimensions = dimensionFindings(earlier.array, later.array);
  if (LAYOUT.some((key) => earlier.array[key] !== later.array[key])) {
    return { tubes: [], findings: [layoutFinding(earlier.array, later.array), ...dimensions] };
  }
  const before = byPlace(earlier, 'the earlier result');
  const after = byPlace(later, 'the later result');
  // Places that have a tube in both: what was built in between has nothing to be compared with.
  const tubes = before.flatMap((cell, index) => {
    const then = after[index];
    if (cell?.state !== 'filled' || then?.state !== 'filled') return [];
    return [{ earlier: cell, later: then }];
  });
  return { tubes, findings: dimensions };
}

function matchPackedTubes(earlier: Result, later: Result): ReturnType<typeof matchTubes> {
  const dimensions = dimensionFindings(earlier.array, later.array);
  const counts = { earlierTubes: earlier.cells.length, laterTubes: later.cells.length };
  const match = matchPacked(earlier, later);
  if (!match) return { tubes: [], findings: [finding('packed-not-matched', 'tubes', counts), ...dimensions] };
  const { pairs, turnedDeg } = match;
  const tubes = pairs
    .map(([before, after]) => ({ earlier: earlier.cells[before]!, later: later.cells[after]! }))
    .sort((a, b) => a.later.cell - b.later.cell);
  const found = finding('packed-matched', 'tubes', { matched: tubes.length, ...counts, turnedDeg });
  return { tubes, findings: [found, ...dimensions] };
}
