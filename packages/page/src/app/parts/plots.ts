import type { Chart } from '@twolamp/report';
import { drawChart, redrawOnChange } from '@twolamp/report/plots';
import sheet from './plots.css?url';

/** The plot library looks for its style sheet by this id; in a sheet that is there it may write, its own the policy refuses. */
const SHEET_ID = 'plotly.js-style-global';

function addSheet(): Promise<unknown> {
  const link = Object.assign(document.createElement('link'), {
    rel: 'stylesheet',
    id: SHEET_ID,
    href: sheet,
  });
  const ready = new Promise((resolve) => link.addEventListener('load', resolve, { once: true }));
  document.head.append(link);
  return ready;
}

let library: Promise<void> | null = null;

/** The plot library, fetched before the first curve is wanted. */
export function plotLibrary(): Promise<void> {
  library ??= addSheet()
    .then(() => import('plotly.js-cartesian-dist-min'))
    .then(({ default: Plotly }) => {
      Object.assign(window, { Plotly });
      redrawOnChange();
    });
  return library;
}

/** Draws the dip curve, with the distance that would tell most next. */
export async function drawDip(place: HTMLElement, chart: Chart, nextM: number): Promise<void> {
  await plotLibrary();
  const { shapes = [], annotations = [] } = chart.layout as { shapes?: unknown[]; annotations?: unknown[] };
  const mark = {
    xref: 'x',
    yref: 'paper',
    x: nextM,
    y: 0,
    yanchor: 'bottom',
    showarrow: false,
    text: '▲ next',
  };
  const line = {
    type: 'line',
    yref: 'paper',
    x0: nextM,
    x1: nextM,
    y0: 0,
    y1: 0.08,
    line: { color: '@lamp' },
  };
  drawChart(place, {
    data: chart.data,
    layout: { ...chart.layout, shapes: [...shapes, line], annotations: [...annotations, mark] },
  });
}
