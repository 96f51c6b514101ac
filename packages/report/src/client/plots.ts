import type { Chart } from '../charts/chart.js';

/** The little of the plot library that the page calls. */
interface PlotLibrary {
  react(place: HTMLElement, data: unknown, layout: unknown, config: unknown): Promise<unknown>;
}

declare global {
  interface Window {
    readonly Plotly: PlotLibrary;
  }
}

const CONFIG = { responsive: true, displaylogo: false, displayModeBar: false };

/** The chart with “@name” replaced by the page's colour of that name, as it is now. */
function painted(value: unknown, style: CSSStyleDeclaration): unknown {
  if (typeof value === 'string') {
    return value.startsWith('@') ? style.getPropertyValue(`--${value.slice(1)}`).trim() : value;
  }
  if (Array.isArray(value)) return value.map((item) => painted(item, style));
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, painted(item, style)]));
  }
  return value;
}

/**
 * Room for a chart on an upright A4 page, no higher than page.css gives it in print; a plot keeps the size it was drawn at, and
 * the screen's would be cut.
 */
const PRINT_SIZE_PX = { width: 680, height: 280 };

/** Charts that are on the page now, to be drawn again when its colours change. */
const shown = new Map<HTMLElement, Chart>();

export function drawChart(place: HTMLElement, chart: Chart): void {
  shown.set(place, chart);
  const { data, layout } = painted(chart, getComputedStyle(document.body)) as Chart;
  const size = matchMedia('print').matches ? PRINT_SIZE_PX : {};
  window.Plotly.react(place, data, { ...layout, ...size }, CONFIG);
}

function redrawAll(): void {
  for (const [place, chart] of shown) {
    if (place.isConnected) drawChart(place, chart);
    else shown.delete(place);
  }
}

/** Draws all charts of the page, and again when the colour scheme changes or the page is printed. */
export function drawCharts(charts: Record<string, Chart>): void {
  for (const [id, chart] of Object.entries(charts)) {
    const place = document.getElementById(id);
    if (place) drawChart(place, chart);
  }
  redrawOnChange();
  unfoldForPrint();
}

/** A printed page shows what is folded away on the screen. */
function unfoldForPrint(): void {
  let folded: HTMLDetailsElement[] = [];
  addEventListener('beforeprint', () => {
    folded = [...document.querySelectorAll<HTMLDetailsElement>('details:not([open])')];
    for (const one of folded) one.open = true;
  });
  addEventListener('afterprint', () => {
    for (const one of folded) one.open = false;
  });
}

/** From now on, charts are drawn again when the colour scheme changes or the page is printed. */
export function redrawOnChange(): void {
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redrawAll);
  matchMedia('print').addEventListener('change', redrawAll);
}
