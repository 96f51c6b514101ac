import { html, type SafeHtml } from '../html/html.js';

/** One set of points, lines or bars, in the plot library's own terms. */
export type Trace = Readonly<Record<string, unknown>> & {
  readonly name: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
};

/**
 * A plot as plain data. Colours are written as names of the page's style (“@ink”), put in by the client script, so that a plot
 * follows the light and the dark scheme.
 */
export interface Chart {
  readonly data: readonly Trace[];
  readonly layout: Readonly<Record<string, unknown>>;
}

/** Axis, legend and margin settings that all plots share. */
export function chartLayout(xTitle: string, yTitle: string): Record<string, unknown> {
  const axis = {
    gridcolor: '@line',
    linecolor: '@soft',
    zerolinecolor: '@line',
    tickfont: { size: 12 },
    automargin: true,
  };
  return {
    paper_bgcolor: 'rgba(0,0,0,0)',
    plot_bgcolor: 'rgba(0,0,0,0)',
    font: { family: 'system-ui, sans-serif', size: 13, color: '@ink' },
    margin: { l: 56, r: 16, t: 12, b: 52 },
    xaxis: { ...axis, title: { text: xTitle, standoff: 10 } },
    yaxis: { ...axis, title: { text: yTitle, standoff: 8 } },
    legend: { orientation: 'h', traceorder: 'normal', x: 0, y: 1.02, yanchor: 'bottom', font: { size: 12 } },
    hoverlabel: { bgcolor: '@paper', bordercolor: '@soft', font: { color: '@ink' } },
  };
}

/** The plot library reads a little markup in its texts; untrusted text must not be taken for it. */
export function plainText(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
}

/** Place of a plot in the page; its data is looked up by the same id. */
export function chartPlace(id: string, alt: string): SafeHtml {
  return html`<div class="chart" id="${id}" data-chart="${id}" role="img" aria-label="${alt}"></div>`;
}
