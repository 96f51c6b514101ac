import type { Evidence, Result } from '@twolamp/session';
import type { Chart } from '../charts/chart.js';
import { chartPlace } from '../charts/chart.js';
import { dipChart, dipChartAlt } from '../charts/dip-chart.js';
import { html, type SafeHtml } from '../html/html.js';
import { transmissionFigure } from '../maps/transmission-map.js';
import { CAUTIONS } from '../words/cautions.js';
import { otherNotes } from '../words/missing.js';
import { trimmed } from '../words/quantity.js';
import { answersSection } from './answers.js';
import type { PageData } from './page-data.js';
import { photoFigure } from './photo-figure.js';
import { pageShell } from './shell.js';
import { photosTable, pullTable } from './tables.js';

interface Section {
  readonly id: string;
  readonly title: string;
  readonly body: SafeHtml;
}

function header(result: Result): SafeHtml {
  const { name, arrangement, rows, columns, tubeLengthMm, tubeBoreMm, backPitchMm, frontPitchMm } =
    result.array;
  const facts = [
    `${rows} × ${columns} tubes, ${arrangement}`,
    `${trimmed(tubeLengthMm)} mm long, bore ${trimmed(tubeBoreMm)} mm`,
    `pitch ${trimmed(backPitchMm)} mm at the back, ${trimmed(frontPitchMm)} mm at the front`,
  ];
  return html`<header class="top"><p class="kind">Bench report</p><h1>${name}</h1><p class="facts">${facts.join(' · ')}</p></header>`;
}

function notesSection(result: Result): SafeHtml {
  const notes = otherNotes(result);
  if (notes.length === 0) return html`<p>Nothing else to note.</p>`;
  return html`<dl>${notes.map(({ about, says }) => html`<dt>${about}</dt><dd>${says}</dd>`)}</dl>`;
}

function sections(result: Result, evidence: Evidence | null): Section[] {
  const list: Section[] = [];
  if (result.pairs.length > 0) {
    list.push({
      id: 'dip',
      title: 'Dip against distance',
      body: chartPlace('dip-chart', dipChartAlt(result)),
    });
  }
  list.push({ id: 'transmission', title: 'Light of each tube', body: transmissionFigure(result) });
  list.push({ id: 'pull', title: 'Tubes that need work', body: pullTable(result) });
  if (evidence?.picture) {
    list.push({
      id: 'photo',
      title: 'The photo, with the cells as found',
      body: photoFigure(result, evidence.picture, evidence.pitchPx),
    });
  }
  list.push({ id: 'notes', title: 'Notes', body: notesSection(result) });
  list.push({ id: 'photos', title: 'Photos', body: photosTable(result) });
  list.push({
    id: 'cautions',
    title: 'Cautions',
    body: html`<ul class="cautions">${CAUTIONS.map((caution) => html`<li>${caution}</li>`)}</ul>`,
  });
  return list;
}

function charts(result: Result, evidence: Evidence | null): Record<string, Chart> {
  return result.pairs.length > 0 ? { 'dip-chart': dipChart(result, evidence) } : {};
}

/**
 * The report as one HTML document that works offline.
 *
 * @param result - what was measured
 * @param evidence - what backs the plots; without it the page shows what the result alone can
 */
export function reportPage(result: Result, evidence: Evidence | null): string {
  const list = sections(result, evidence);
  const main = html`${answersSection(result, evidence)}
<nav class="contents" aria-label="Evidence"><ul>${list.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>`)}</ul></nav>
<div class="evidence"><div class="sections">${list.map(
    ({ id, title, body }) =>
      html`<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>${body}</section>`,
  )}</div>
<aside class="panel" id="panel" aria-label="One tube"><p class="hint">Choose a tube on a map or in a list, and its story shows here.</p></aside></div>`;
  return pageShell({
    title: `${result.array.name} – bench report`,
    header: header(result),
    main,
    charts: charts(result, evidence),
    data: pageData(result, evidence),
  });
}

function pageData(result: Result, evidence: Evidence | null): PageData {
  const picture = evidence?.picture ?? null;
  return {
    array: result.array,
    cells: result.cells,
    picture: picture && { scale: picture.scale, widthPx: picture.widthPx, heightPx: picture.heightPx },
    pitchPx: evidence?.pitchPx ?? null,
    sweep: evidence?.sweep ?? null,
    profiles: evidence?.profiles ?? [],
  };
}
