import type { Evidence, Result } from '@twolamp/session';
import { dipChart } from '../charts/dip-chart.js';
import { html, type SafeHtml } from '../html/html.js';
import { trimmed } from '../words/quantity.js';
import { answersSection } from './answers.js';
import { pageData } from './page-data.js';
import { evidenceSections } from './sections.js';
import { pageShell } from './shell.js';

function header({ array }: Result): SafeHtml {
  const facts = [
    `${array.rows} × ${array.columns} tubes, ${array.arrangement}`,
    `${trimmed(array.tubeLengthMm)} mm long, bore ${trimmed(array.tubeBoreMm)} mm`,
    `pitch ${trimmed(array.backPitchMm)} mm at the back, ${trimmed(array.frontPitchMm)} mm at the front`,
  ];
  return html`<header class="top"><p class="kind">Bench report</p><h1>${array.name}</h1><p class="facts">${facts.join(' · ')}</p></header>`;
}

/** Chooses any tube by number, for those who can't or don't want to point at it. */
function goToTube({ array: { rows, columns } }: Result): SafeHtml {
  return html`<form class="go" id="go"><label>Row <input name="row" type="number" min="1" max="${rows}" required></label><label>Column <input name="column" type="number" min="1" max="${columns}" required></label><button>Show tube</button></form>`;
}

/**
 * The report as one HTML document that works offline.
 *
 * @param result - what was measured
 * @param evidence - what backs the plots; without it the page shows what the result alone can
 */
export function reportPage(result: Result, evidence: Evidence | null): string {
  const sections = evidenceSections(result, evidence);
  const main = html`${answersSection(result, evidence)}
<nav class="contents" aria-label="Evidence"><ul>${sections.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>`)}</ul></nav>
<div class="evidence"><div class="sections">${sections.map(
    ({ id, title, body }) =>
      html`<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>${body}</section>`,
  )}</div>
<aside class="panel" aria-label="One tube">${goToTube(result)}<div id="panel" aria-live="polite"><p class="hint">Choose a tube on a map or in a list, or by its numbers, and its story shows here.</p></div></aside></div>`;
  return pageShell({
    title: `${result.array.name} – bench report`,
    header: header(result),
    main,
    charts: result.pairs.length > 0 ? { 'dip-chart': dipChart(result, evidence) } : {},
    data: pageData(result, evidence),
  });
}
