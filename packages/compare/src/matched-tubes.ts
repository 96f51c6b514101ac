import { type CellResult, InputError, type Note, type Result } from '@twolamp/session';

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

function layoutWords({ rows, columns, arrangement, shiftedRows }: Dimensions): string {
  const shifted = shiftedRows === undefined ? '' : `, ${shiftedRows} rows shifted`;
  return `${rows} × ${columns} tubes, ${arrangement}${shifted}`;
}

const STATED: readonly [keyof Dimensions, string][] = [
  ['tubeLengthMm', 'tube length'],
  ['tubeBoreMm', 'tube bore'],
  ['backPitchMm', 'back pitch'],
  ['frontPitchMm', 'front pitch'],
];

function dimensionNotes(earlier: Dimensions, later: Dimensions): Note[] {
  const changed = STATED.filter(([key]) => earlier[key] !== later[key]);
  if (changed.length === 0) return [];
  const list = changed.map(([key, words]) => `${words} ${earlier[key]} mm earlier, ${later[key]} mm later`);
  return [{ about: 'array', says: `The stated dimensions differ: ${list.join('; ')}.` }];
}

/**
 * Pairs the tubes of two results by row and column.
 *
 * @returns the pairs in reading order; none where the arrays are laid out differently, and a note why
 * @throws InputError where a result doesn't hold each place once
 */
export function matchTubes(earlier: Result, later: Result): { tubes: MatchedTube[]; notes: Note[] } {
  const before = inReadingOrder(earlier, 'the earlier result');
  const after = inReadingOrder(later, 'the later result');
  const notes = dimensionNotes(earlier.array, later.array);
  const layouts = [layoutWords(earlier.array), layoutWords(later.array)] as const;
  if (layouts[0] !== layouts[1]) {
    const says =
      `The arrays are laid out differently (earlier ${layouts[0]}; later ${layouts[1]}), so a row and column don’t ` +
      'name the same tube in both. They are compared as wholes.';
    return { tubes: [], notes: [{ about: 'tubes', says }, ...notes] };
  }
  const tubes = before.map((cell, index) => ({
    row: cell.row,
    column: cell.column,
    earlier: cell,
    later: after[index],
  }));
  return { tubes, notes };
}
