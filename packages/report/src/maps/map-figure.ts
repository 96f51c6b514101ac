import type { RealFault } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { type CellMap, cellMap, colourBar } from './cell-map.js';
import { markLegend } from './marks.js';

export interface MapFigure {
  readonly map: CellMap;
  /** What stands under the scale, from its low end to its high end. */
  readonly ticks: readonly string[];
  readonly caption: string;
  readonly faults?: readonly RealFault[];
}

/** A map on its dark ground with scale, caption and the meaning of its marks. */
export function mapFigure({ map, ticks, caption, faults = [] }: MapFigure): SafeHtml {
  return html`<figure><div class="dark">${cellMap(map)}${colourBar(map, ticks)}</div><figcaption>${caption}${markLegend(faults)}</figcaption></figure>`;
}
