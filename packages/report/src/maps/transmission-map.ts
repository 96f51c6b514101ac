import type { Result } from '@twolamp/session';
import { quantileSorted } from 'simple-statistics';
import { html, type SafeHtml } from '../html/html.js';
import { countByFault } from '../words/faults.js';
import { decimal } from '../words/quantity.js';
import { type CellMap, cellMap, colourBar } from './cell-map.js';
import { LAMPLIGHT } from './colour-scale.js';
import { markLegend } from './marks.js';

/** Top of the scale: the brightest but a few, rounded up to a tenth; an open hole must not dim all others. */
function topOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const high = sorted.length === 0 ? 1 : quantileSorted(sorted, 0.98);
  return Math.max(1.2, Math.ceil(high * 10) / 10);
}

/** What the map of transmission shows: the figures as they stand in the result, drawn from 0 to a top that spares outliers. */
export function transmissionMap(result: Result): CellMap {
  const values = result.cells.flatMap((cell) => cell.transmission.relative ?? []);
  const high = topOf(values);
  const faults = countByFault(result.cells);
  return {
    array: result.array,
    cells: result.cells.map((cell) => ({
      row: cell.row,
      column: cell.column,
      value: cell.transmission.relative,
      fault: cell.fault === 'none' ? null : cell.fault,
    })),
    scale: LAMPLIGHT,
    low: 0,
    high,
    alt: `Map of relative transmission, ${result.array.rows} rows by ${result.array.columns} columns seen from the back. Faults marked: ${faults.map(({ fault, count }) => `${count} ${fault}`).join(', ') || 'none'}. Arrow keys move from tube to tube.`,
  };
}

export function transmissionFigure(result: Result): SafeHtml {
  const map = transmissionMap(result);
  const middle = map.high / 2;
  return html`<figure class="sheet"><div class="dark">${cellMap(map)}${colourBar(map.scale, ['0', decimal(middle, 2), `${decimal(map.high, 1)} and more`])}</div><figcaption>Relative transmission of each tube, seen from the back: 1 is what the tubes around it give. ${markLegend(countByFault(result.cells).map(({ fault }) => fault))}</figcaption></figure>`;
}
