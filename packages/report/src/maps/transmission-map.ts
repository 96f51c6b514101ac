import type { Result } from '@twolamp/session';
import { quantile } from 'simple-statistics';
import { countByFault, decimal } from '@twolamp/words';
import type { SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { LAMPLIGHT } from './colour-scale.js';
import { mapFigure } from './map-figure.js';
import { markTurnDeg } from './marks.js';

/** Top of the scale: the brightest but a few, rounded up to a tenth; an open hole must not dim all others. */
function topOf(values: readonly number[]): number {
  const high = values.length === 0 ? 1 : quantile([...values], 0.98);
  return Math.max(1.2, Math.ceil(high * 10) / 10);
}

/** What the map of transmission shows: the figures as they stand in the result, drawn from 0 to a top that spares outliers. */
export function transmissionMap(result: Result): CellMap {
  const { rows, columns, arrangement } = result.array;
  const size =
    arrangement === 'packed' ? `${result.cells.length} packed tubes` : `${rows} rows by ${columns} columns`;
  const marked = countByFault(result.cells).map(({ fault, count }) => `${count} ${fault}`);
  return {
    array: result.array,
    cells: result.cells.map((cell) => ({
      cell: cell.cell,
      value: cell.transmission.relative,
      fault: cell.fault === 'none' ? null : cell.fault,
      turnDeg: markTurnDeg(cell),
    })),
    scale: LAMPLIGHT,
    low: 0,
    high: topOf(result.cells.flatMap((cell) => cell.transmission.relative ?? [])),
    alt: `Map of relative transmission, ${size} seen from the back. Faults marked: ${marked.join(', ') || 'none'}.`,
  };
}

export function transmissionFigure(result: Result): SafeHtml {
  const map = transmissionMap(result);
  return mapFigure({
    map,
    ticks: ['0', decimal(map.high / 2, 1), `${decimal(map.high, 1)} and more`],
    caption: 'Relative transmission of each tube, seen from the back: 1 is what the tubes around it give.',
    faults: countByFault(result.cells).map(({ fault }) => fault),
  });
}
