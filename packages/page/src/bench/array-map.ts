/** What stands in a place: a tube, a hole without a tube yet, no hole. */
const SYMBOLS = '#o.';

/** Rows and columns of a grid. */
interface Size {
  readonly rows: number;
  readonly columns: number;
}

/** The lines of a map as typed or pasted; null where there is none. */
export function mapLines(text: string): string[] | null {
  const lines = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');
  return lines.length === 0 ? null : lines;
}

/** A map of the size that the form states; places that the text doesn't have get a tube. */
function fitted(text: string, { rows, columns }: Size): string[] {
  const lines = mapLines(text) ?? [];
  return Array.from({ length: rows }, (_, row) =>
    (lines[row] ?? '').slice(0, columns).padEnd(columns, SYMBOLS[0]),
  );
}

/** Symbols of all places in reading order. */
export function mapSymbols(text: string, size: Size): string {
  return fitted(text, size).join('');
}

/** What comes after a symbol where a place is pressed. */
export function nextSymbol(symbol: string): string {
  return SYMBOLS[(SYMBOLS.indexOf(symbol) + 1) % SYMBOLS.length]!;
}

/**
 * A map with one place changed; empty where every place has a tube.
 *
 * @param index - of the place in reading order
 */
export function withSymbol(text: string, size: Size, index: number, symbol: string): string {
  const all = [...mapSymbols(text, size)];
  all[index] = symbol;
  if (all.every((one) => one === SYMBOLS[0])) return '';
  return Array.from({ length: size.rows }, (_, row) =>
    all.slice(row * size.columns, (row + 1) * size.columns).join(''),
  ).join('\n');
}
