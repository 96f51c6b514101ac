import { type CellResult, type ComparisonFinding, finding, InputError, type Result } from '@twolamp/session';

/** One tube's place in both results. */
export interface MatchedTube {
  readonly row: number;
  readonly column: number;
  readonly earlier: CellResult;
  readonly later: CellResult;
}

/**
 * The cells of a result in reading order: index = (row − 1) · columns + column − 1.
 * @param which - 'the earlier result', say, for the message
 * @throws InputError where a place is listed twice, lies outside the array or is missing
 */
function inReadingOrder({ array, cells }: Result, which: string): CellResult[] {
  const ordered: CellResult[] = [];
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
  if (cells.length !== array.rows * array.columns) {
    throw new InputError(
      which,
      `${cells.length} cells`,
      `one for each of ${array.rows} rows × ${array.columns} columns`,
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
  const before = inReadingOrder(earlier, 'the earlier result');
  const after = inReadingOrder(later, 'the later result');
  const dimensions = dimensionFindings(earlier.array, later.array);
  if (LAYOUT.some((key) => earlier.array[key] !== later.array[key])) {
    return { tubes: [], findings: [layoutFinding(earlier.array, later.array), ...dimensions] };
  }
  const tubes = before.map((cell, index) => ({
    row: cell.row,
    column: cell.column,
    earlier: cell,
    later: after[index],
  }));
  return { tubes, findings: dimensions };
}
