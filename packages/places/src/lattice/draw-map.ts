import { type ArraySpec, InputError, type ShotPhoto } from '@twolamp/session';
import { spotLattice, type SpotLattice } from './find-lattice.js';
import { rowAndColumn } from './place.js';
import { HEALTHY } from './tuning.js';

/** The outline that an even shot shows. */
export interface DrawnMap {
  readonly arrangement: ArraySpec['arrangement'];
  /** Hexagonal only. */
  readonly shiftedRows: 'odd' | 'even' | null;
  readonly tubes: number;
  /** One string a row: # light of a tube, o a dark place among them, . nothing. */
  readonly map: readonly string[];
}

/** Arrays to try where none is stated: one of each arrangement, with hardly any bound on the pitch. */
const GUESSES: readonly ArraySpec[] = (['square', 'hexagonal'] as const).map((arrangement) => ({
  name: '',
  arrangement,
  ...(arrangement === 'hexagonal' ? { shiftedRows: 'odd' as const } : {}),
  rows: 4,
  columns: 4,
  tubeLengthMm: 100,
  tubeBoreMm: 1,
  backPitchMm: 1,
  frontPitchMm: 1,
}));

/**
 * Draws the map of an array from its even shot, to be read by its builder and put into the session.
 *
 * A dark place among lit ones may be a blocked tube or a hole without one: that only the builder knows.
 *
 * @param name - the photo's name, for messages
 * @throws InputError where no lattice shows
 */
export function drawMap(photo: ShotPhoto, name: string): DrawnMap {
  let refused: InputError | null = null;
  for (const guess of GUESSES) {
    try {
      return mapOf(guess, spotLattice(photo, guess, name));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      refused ??= error;
    }
  }
  throw refused ?? new InputError(name, 'no regular pattern of cells shows');
}

function mapOf(array: ArraySpec, { nodes, spots }: SpotLattice): DrawnMap {
  const lit = nodes.filter(({ spot }) => spots.strength[spot]! >= HEALTHY);
  const top = lit.reduce((least, { j }) => Math.min(least, j), Number.POSITIVE_INFINITY);
  const drawn = (['odd', 'even'] as const).map((shiftedRows) => {
    const places = lit.map((node) => rowAndColumn({ ...array, shiftedRows }, { i0: 0, j0: top }, node));
    return { shiftedRows, map: drawnPlaces(places) };
  });
  // The shift that the rows really have leaves the narrower outline.
  const [odd, even] = drawn as [(typeof drawn)[number], (typeof drawn)[number]];
  const square = array.arrangement === 'square';
  const best = square || odd.map[0]!.length <= even.map[0]!.length ? odd : even;
  return {
    arrangement: array.arrangement,
    shiftedRows: square ? null : best.shiftedRows,
    tubes: lit.length,
    map: best.map,
  };
}

function drawnPlaces(places: readonly { row: number; column: number }[]): string[] {
  const first = places.reduce((least, { column }) => Math.min(least, column), Number.POSITIVE_INFINITY);
  const columns = places.reduce((most, { column }) => Math.max(most, column - first + 1), 0);
  const rows = places.reduce((most, { row }) => Math.max(most, row), 0);
  const lit = Array.from({ length: rows }, () => new Array<boolean>(columns).fill(false));
  for (const { row, column } of places) lit[row - 1]![column - first] = true;
  const isLit = (row: number, column: number) => lit[row]?.[column] === true;
  const beyond = (row: number, column: number, down: number, right: number): boolean => {
    for (let [r, c] = [row, column]; r >= 0 && r < rows && c >= 0 && c < columns; r += down, c += right) {
      if (isLit(r, c)) return true;
    }
    return false;
  };
  return lit.map((line, row) =>
    line
      .map((shines, column) => {
        if (shines) return '#';
        const around = [
          [1, 0],
          [-1, 0],
          [0, 1],
          [0, -1],
        ].every(([down, right]) => beyond(row, column, down!, right!));
        return around ? 'o' : '.';
      })
      .join(''),
  );
}
