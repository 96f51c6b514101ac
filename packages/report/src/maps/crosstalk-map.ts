import type { Result } from '@twolamp/session';
import { counted, significant } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { AMOUNT_ON_PAPER, LAMPLIGHT } from './colour-scale.js';
import { cellPlace } from './lattice.js';
import { mapFigure } from './map-figure.js';

/** Least top of the scale: smaller shares are of no consequence. A judgement, no source. */
const LEAST_TOP = 0.02;

/** Total crosstalk of the tubes that were tested, each with a line to its worst neighbour; null where none was. */
export function crosstalkMap(result: Result): CellMap | null {
  const tested = result.cells.flatMap((cell) =>
    cell.crosstalk ? { ...cell, crosstalk: cell.crosstalk } : [],
  );
  if (tested.length === 0) return null;
  const lines = tested.flatMap(({ cell, crosstalk: { worst } }) => {
    if (worst === null) return [];
    const from = cellPlace(result.array, cell);
    const to = cellPlace(result.array, worst.cell);
    return `M${from.x} ${from.y}L${to.x} ${to.y}`;
  });
  return {
    array: result.array,
    cells: result.cells.map(({ cell, crosstalk }) => ({
      cell,
      value: crosstalk?.total ?? null,
    })),
    scale: LAMPLIGHT,
    onPaper: AMOUNT_ON_PAPER,
    low: 0,
    high: Math.max(LEAST_TOP, ...tested.map(({ crosstalk }) => crosstalk.total)),
    alt: `Map of crosstalk: ${counted(tested.length, 'tube')} tested.`,
    overlay: html`<path class="arrow halo" d="${lines.join('')}"/><path class="arrow" d="${lines.join('')}"/>`,
  };
}

export function crosstalkFigure(result: Result): SafeHtml | null {
  const map = crosstalkMap(result);
  if (map === null) return null;
  return mapFigure({
    map,
    ticks: ['0', `${significant(map.high * 100, 2)}\u00a0%`],
    caption:
      'Share of the light entering a tube that comes out of others. Tubes that were not tested are empty rings; a line leads to the neighbour that gets most.',
  });
}
