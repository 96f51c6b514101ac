import type { CellResult, Comparison, PairResult, Result } from '@twolamp/session';
import { reasonsText } from '@twolamp/words';

/** Whether any of a cell's figures is doubtful. */
function isDoubtful({ transmission, pointing, crosstalk }: CellResult): boolean {
  return [transmission, pointing, crosstalk].some((part) => part?.doubtful === true);
}

type Field = string | number | boolean | null;
type Column<Row> = readonly [name: string, value: (row: Row) => Field];

/** Text that a spreadsheet would take for a formula gets a leading apostrophe, the customary guard. */
const FORMULA_START = /^[=+\-@\t\r]/;

function field(value: Field): string {
  if (value === null) return '';
  if (typeof value !== 'string') return String(value);
  const text = FORMULA_START.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
}

/** Source: RFC 4180, sections 2.1 to 2.7: CRLF after every record, header first, doubled quotes. */
function csv<Row>(columns: readonly Column<Row>[], rows: readonly Row[]): string {
  const lines = [
    columns.map(([name]) => field(name)),
    ...rows.map((row) => columns.map(([, value]) => field(value(row)))),
  ];
  return lines.map((line) => `${line.join(',')}\r\n`).join('');
}

const CELL_COLUMNS: readonly Column<CellResult>[] = [
  ['cell', (cell) => cell.cell],
  ['row', (cell) => cell.row],
  ['column', (cell) => cell.column],
  ['atMm.across', (cell) => cell.atMm.across],
  ['atMm.up', (cell) => cell.atMm.up],
  ['state', (cell) => cell.state],
  ['xPx', (cell) => cell.xPx],
  ['yPx', (cell) => cell.yPx],
  ['seen', (cell) => cell.seen],
  ['transmission.relative', (cell) => cell.transmission.relative],
  ['transmission.relativeUncertainty', (cell) => cell.transmission.relativeUncertainty],
  ['transmission.absolute', (cell) => cell.transmission.absolute],
  ['transmission.absoluteUncertainty', (cell) => cell.transmission.absoluteUncertainty],
  ['pointing.acrossDeg', (cell) => cell.pointing?.acrossDeg ?? null],
  ['pointing.upDeg', (cell) => cell.pointing?.upDeg ?? null],
  ['pointing.uncertaintyDeg', (cell) => cell.pointing?.uncertaintyDeg ?? null],
  ['pointing.errorDeg', (cell) => cell.pointing?.errorDeg ?? null],
  ['pointing.errorUncertaintyDeg', (cell) => cell.pointing?.errorUncertaintyDeg ?? null],
  ['pointing.acceptanceWidthDeg', (cell) => cell.pointing?.acceptanceWidthDeg ?? null],
  ['pointing.acceptanceWidthUncertaintyDeg', (cell) => cell.pointing?.acceptanceWidthUncertaintyDeg ?? null],
  ['bend.bowMm', (cell) => cell.bend?.bowMm ?? null],
  ['bend.uncertaintyMm', (cell) => cell.bend?.uncertaintyMm ?? null],
  ['cureShiftMm.across', (cell) => cell.cureShiftMm?.across ?? null],
  ['cureShiftMm.up', (cell) => cell.cureShiftMm?.up ?? null],
  ['cureShiftMm.uncertainty', (cell) => cell.cureShiftMm?.uncertainty ?? null],
  ['crosstalk.total', (cell) => cell.crosstalk?.total ?? null],
  ['crosstalk.totalUncertainty', (cell) => cell.crosstalk?.totalUncertainty ?? null],
  ['crosstalk.worst.cell', (cell) => cell.crosstalk?.worst?.cell ?? null],
  ['crosstalk.worst.row', (cell) => cell.crosstalk?.worst?.row ?? null],
  ['crosstalk.worst.column', (cell) => cell.crosstalk?.worst?.column ?? null],
  ['crosstalk.worst.share', (cell) => cell.crosstalk?.worst?.share ?? null],
  ['crosstalk.worst.shareUncertainty', (cell) => cell.crosstalk?.worst?.shareUncertainty ?? null],
  ['fault', (cell) => cell.fault],
  ['doubtful', (cell) => isDoubtful(cell)],
  ['reasons', (cell) => reasonsText(cell.reasons)],
];

const PAIR_COLUMNS: readonly Column<PairResult>[] = [
  ['photo', (pair) => pair.photo],
  ['distanceM', (pair) => pair.distanceM],
  ['spacingM', (pair) => pair.spacingM],
  ['turnedDeg', (pair) => pair.turnedDeg],
  ['separationCells', (pair) => pair.separationCells],
  ['separationUncertainty', (pair) => pair.separationUncertainty],
  ['dip', (pair) => pair.dip],
  ['dipUncertainty', (pair) => pair.dipUncertainty],
  ['separate', (pair) => pair.separate],
  ['doubtful', (pair) => pair.doubtful === true],
];

const CHANGE_COLUMNS: readonly Column<Comparison['tubes'][number]>[] = [
  ['cell', (tube) => tube.cell],
  ['cellEarlier', (tube) => tube.cellEarlier ?? null],
  ['row', (tube) => tube.row],
  ['column', (tube) => tube.column],
  ['transmission.earlier', (tube) => tube.transmission?.earlier ?? null],
  ['transmission.later', (tube) => tube.transmission?.later ?? null],
  ['transmission.change', (tube) => tube.transmission?.change ?? null],
  ['transmission.uncertainty', (tube) => tube.transmission?.uncertainty ?? null],
  ['transmission.significant', (tube) => tube.transmission?.significant ?? null],
  ['pointing.acrossDeg', (tube) => tube.pointing?.acrossDeg ?? null],
  ['pointing.upDeg', (tube) => tube.pointing?.upDeg ?? null],
  ['pointing.uncertaintyDeg', (tube) => tube.pointing?.uncertaintyDeg ?? null],
  ['pointing.significant', (tube) => tube.pointing?.significant ?? null],
  ['faultEarlier', (tube) => tube.faultEarlier],
  ['faultLater', (tube) => tube.faultLater],
  ['verdict', (tube) => tube.verdict],
];

/** cells.csv: one line a tube, columns named as in result.json with dots for nesting, reasons as text; empty = not measured. */
export function cellsCsv(result: Result): string {
  return csv(CELL_COLUMNS, result.cells);
}

/** pairs.csv: one line a pair shot, columns named as in result.json; empty = not measured. */
export function pairsCsv(result: Result): string {
  return csv(PAIR_COLUMNS, result.pairs);
}

/** compare.csv: one line a tube, columns named as in compare.json with dots for nesting; empty = not measured. */
export function comparisonCsv(comparison: Comparison): string {
  return csv(CHANGE_COLUMNS, comparison.tubes);
}
