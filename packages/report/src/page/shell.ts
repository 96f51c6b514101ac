import { CAUTIONS } from '@twolamp/words';
import type { Chart } from '../charts/chart.js';
import { embeddedJson, html, type SafeHtml, trusted } from '../html/html.js';
import { markDefinitions } from '../maps/marks.js';
import { type PageSource, sourceLine } from './source.js';
import { clientScript, pageStyle, plotScript } from '#assets';

/** Nothing may be fetched: what the page needs it holds. */
const CONTENT_POLICY =
  "default-src 'none'; img-src data: blob:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/** A page of text and pictures. */
export interface PlainPage {
  readonly title: string;
  readonly header: SafeHtml;
  readonly main: SafeHtml;
  readonly source: PageSource;
}

/** A page with plots and a script that answers to clicks. */
export interface Page extends PlainPage {
  readonly charts: Readonly<Record<string, Chart>>;
  /** What the client script needs beside the charts. */
  readonly data: unknown;
}

/** One HTML document that needs nothing outside itself. */
export function pageShell({ charts, data, ...page }: Page): string {
  return documentOf(
    page,
    html`
<script type="application/json" id="charts">${embeddedJson(charts)}</script>
<script type="application/json" id="data">${embeddedJson(data)}</script>
<script>${trusted(plotScript())}</script>
<script>${trusted(clientScript())}</script>`,
  );
}

/** The same without plots and script: a fraction of the size. */
export function plainPageShell(page: PlainPage): string {
  return documentOf(page, null);
}

function documentOf({ title, header, main, source }: PlainPage, scripts: SafeHtml | null): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${CONTENT_POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title}</title>
<style>${trusted(pageStyle())}</style>
</head>
<body>
<a class="skip" href="#main">Skip to the answers</a>
${markDefinitions()}
${header}
<main id="main">
${main}
<section id="cautions" class="cautions" aria-labelledby="cautions-title"><h2 id="cautions-title">Cautions</h2><ul>${CAUTIONS.map((caution) => html`<li>${caution}</li>`)}</ul></section>
</main>
<footer>${sourceLine(source)}<p>Made by Twolamp from photos of the lit sheet. ± is one standard uncertainty; intervals say their own confidence.</p></footer>${scripts}
</body>
</html>
`.markup;
}
