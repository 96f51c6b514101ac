import { placeLayout } from '@twolamp/optics';
import { type CellResult, type ComparisonFinding, finding, InputError, type Result } from '@twolamp/session';

/** One tube's place in both results. */
export interface MatchedTube {
  readonly row: number;
  readonly column: number;
  readonly earlier: CellResult;
  readonly later: CellResult;
}

/**
 * The cells of a result by place: index = (row − 1) · columns + column − 1; nothing where the array has no hole.
 * @param which - 'the earlier result', say, for the message
 * @throws InputError where a place is listed twice, lies outside the array or is missing
 */
function byPlace({ array, cells }: Result, which: string): (CellResult | undefined)[] {
  const ordered: (CellResult | undefined)[] = [];
  for (const cell of cells) {
    const index = (cell.row - 1) * array.columns + cell.column - 1;
    const outside = cell.row > array.rows || cell.column > array.columns;
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
 * Pairs the tubes of two results by row and column.
 *
 * @returns the pairs in reading order; none where the arrays are laid out differently, and a finding why
 * @throws InputError where a result doesn't hold each place once
 */
export function matchTubes(
  earlier: Result,
  later: Result,
): { tubes: MatchedTube[]; findings: ComparisonFinding[] } {
  const before = byPlace(earlier, 'the earlier result');
  const after = byPlace(later, 'the later result');
  const dimensions = dimensionFindings(earlier.array, later.array);
  if (LAYOUT.some((key) => earlier.array[key] !== later.array[key])) {
    return { tubes: [], findings: [layoutFinding(earlier.array, later.array), ...dimensions] };
  }
  // Places that have a tube in both: what was built in between has nothing to be compared with.
  const tubes = before.flatMap((cell, index) => {
    const then = after[index];
    if (cell?.state !== 'filled' || then?.state !== 'filled') return [];
    return [{ row: cell.row, column: cell.column, earlier: cell, later: then }];
  });
  return { tubes, findings: dimensions };
}
