import type { RealFault } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { type ColourScale, colourAt } from './colour-scale.js';
import { type ArrayOfTubes, cellPlace, gridPlace, halfSize } from './lattice.js';

/** Steps into which a scale is cut: all cells of one step share a path, so that a map of thousands stays small. */
const STEPS = 48;
/** Room right of and below the outermost middles, in pitches. */
const RIM_ROOM = 0.9;
/** Size of the row and column numbers in pitches: at least this, and larger in arrays so wide that it couldn't be read. */
const LABEL_SIZE = 0.62;
const COLUMNS_PER_LABEL_SIZE = 45;

interface MapCell {
  /** Its number. */
  readonly cell: number;
  /** null: nothing to show, only the rim is drawn. */
  readonly value: number | null;
  readonly fault?: RealFault | null;
  /** Of the fault's mark, clockwise; see markTurnDeg. */
  readonly turnDeg?: number;
}

export interface CellMap {
  readonly array: ArrayOfTubes;
  readonly cells: readonly MapCell[];
  readonly scale: ColourScale;
  /** In print; as `scale` where left out. */
  readonly onPaper?: ColourScale;
  readonly low: number;
  readonly high: number;
  /** Read out instead of the picture. */
  readonly alt: string;
  /** Drawn over the cells, in pitches. */
  readonly overlay?: SafeHtml | null;
}

function at(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

function dots(array: ArrayOfTubes, cells: readonly MapCell[]): string {
  return cells
    .map(({ cell }) => {
      const { x, y } = cellPlace(array, cell);
      return `M${at(x)} ${at(y)}h0`;
    })
    .join('');
}

/** Value's step on the scale, 0 to STEPS − 1. */
function stepOf(value: number, low: number, high: number): number {
  const share = high > low ? (value - low) / (high - low) : 0.5;
  return Math.min(STEPS - 1, Math.max(0, Math.floor(share * STEPS)));
}

function labels(array: ArrayOfTubes, size: number): SafeHtml {
  const every = size > 1 ? 10 : 5;
  const ticks = (count: number) =>
    Array.from({ length: count }, (_, i) => i + 1).filter((n) => n === 1 || n % every === 0);
  const { width, height } = halfSize(array);
  const columns = ticks(array.columns).map((column) => {
    const { x } = gridPlace(array, 1, column);
    return html`<text x="${at(x)}" y="${at(-height - 0.9)}" text-anchor="middle">${column}</text>`;
  });
  const rows = ticks(array.rows).map((row) => {
    const { y } = gridPlace(array, row, 1);
    return html`<text x="${at(-width - 0.9)}" y="${at(y + 0.36 * size)}" text-anchor="end">${row}</text>`;
  });
  return html`<g class="labels" font-size="${at(size)}">${columns}${rows}</g>`;
}

/**
 * The array seen from the back, a dot a tube, as inline SVG whose unit is one pitch.
 *
 * The first data layer holds one path per step of the scale; faults are marked by shape on top of it. The client script finds
 * the tube under the pointer from its place, so no cell needs an element of its own.
 */
export function cellMap({ array, cells, scale, onPaper, low, high, alt, overlay }: CellMap): SafeHtml {
  const { width, height } = halfSize(array);
  const unknown = cells.filter(({ value }) => value === null);
  const hollow = unknown.length > 0 ? html`<path class="hollow" d="${dots(array, unknown)}"/>` : null;
  const steps = new Map<number, MapCell[]>();
  for (const cell of cells) {
    if (cell.value === null) continue;
    const step = stepOf(cell.value, low, high);
    const list = steps.get(step);
    if (list) list.push(cell);
    else steps.set(step, [cell]);
  }
  const paths = [...steps].map(([step, list]) => {
    const share = step / (STEPS - 1);
    const printed = onPaper ? html` style="--on-paper:${colourAt(onPaper, share)}"` : null;
    return html`<path stroke="${colourAt(scale, share)}"${printed} d="${dots(array, list)}"/>`;
  });
  const marks = cells.flatMap(({ cell, fault, turnDeg }) => {
    if (!fault) return [];
    const { x, y } = cellPlace(array, cell);
    const turned = turnDeg ? html` transform="rotate(${at(turnDeg)} ${at(x)} ${at(y)})"` : null;
    return html`<use href="#mark-${fault}" x="${at(x - 0.42)}" y="${at(y - 0.42)}" width=".84" height=".84"${turned}/>`;
  });
  const size = Math.max(LABEL_SIZE, array.columns / COLUMNS_PER_LABEL_SIZE);
  const [left, top] = [width + 1 + 1.4 * size, height + 1 + size];
  const right = width + Math.max(RIM_ROOM, 0.7 * size);
  const box = [-left, -top, left + right, top + height + RIM_ROOM];
  return html`<svg class="map" viewBox="${box.map(at).join(' ')}" role="img" aria-label="${alt}" data-map="lattice">${labels(array, size)}<g class="dots"><path class="rim" d="${dots(array, cells)}"/>${hollow}${paths}</g><g class="marks">${marks}</g>${overlay ?? null}<circle class="picked" r=".62" hidden/></svg>`;
}

/** The scale with its ends named, to stand under a map. */
export function colourBar({ scale, onPaper }: CellMap, ticks: readonly string[]): SafeHtml {
  const ramp = (colours: ColourScale) => `linear-gradient(to right,${colours.join(',')})`;
  return html`<div class="bar"><div class="ramp" style="--ramp:${ramp(scale)};--ramp-on-paper:${ramp(onPaper ?? scale)}"></div><div class="ticks">${ticks.map((tick) => html`<span>${tick}</span>`)}</div></div>`;
}
