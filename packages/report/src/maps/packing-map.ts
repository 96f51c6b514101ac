import type { Evidence, Result } from '@twolamp/session';
import { counted } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { LAMPLIGHT } from './colour-scale.js';
import { cellPlace } from './lattice.js';
import { mapFigure } from './map-figure.js';

type Packing = NonNullable<Evidence['packing']>;

/** Value of a tube in good order, and of one that isn't: far apart on the scale. */
const IN_ORDER = 0.35;
const BREAK = 1;

/** How packed tubes lie: breaks bright, a line across each slip and each gap. */
function packingMap({ array, cells }: Result, { breaks, slips, gaps }: Packing): CellMap {
  const broken = new Set(breaks);
  const line = ([a, b]: readonly [number, number]) => {
    const [from, to] = [cellPlace(array, a), cellPlace(array, b)];
    return `M${from.x} ${from.y}L${to.x} ${to.y}`;
  };
  const paths = [slips, gaps].map((pairs) => pairs.map(line).join(''));
  return {
    array,
    cells: cells.map(({ cell }) => ({ cell, value: broken.has(cell) ? BREAK : IN_ORDER })),
    scale: LAMPLIGHT,
    low: 0,
    high: 1,
    alt: `Map of the packing: ${counted(breaks.length, 'tube')} at breaks, ${counted(slips.length, 'slip')}, ${counted(gaps.length, 'gap')}.`,
    overlay: html`<path class="arrow halo" d="${paths.join('')}"/><path class="arrow" stroke-dasharray=".15 .15" d="${paths[0]!}"/><path class="arrow" d="${paths[1]!}"/>`,
  };
}

export function packingFigure(result: Result, packing: Packing | undefined): SafeHtml | null {
  if (!packing) return null;
  return mapFigure({
    map: packingMap(result, packing),
    ticks: ['in order', 'break'],
    caption:
      'How the tubes lie, seen from the back. A bright tube inside the bundle has five or seven neighbours in place of six. A line joins neighbours that stand apart; a dashed one crosses four tubes that touch in a square, where a row has slid past the next.',
  });
}
