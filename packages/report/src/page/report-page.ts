import { tubeLayout } from '@twolamp/optics';
import type { Evidence, Result } from '@twolamp/session';
import { counted, trimmed, tubesOnly } from '@twolamp/words';
import { dipChart } from '../charts/dip-chart.js';
import { html, type SafeHtml } from '../html/html.js';
import { answersSection } from './answers.js';
import { reportData } from './page-data.js';
import { contents, sectionList } from './section.js';
import { evidenceSections } from './sections.js';
import { pageShell } from './shell.js';
import { type PageSource, shotOn } from './source.js';
import { tubePanel } from './tube-panel.js';

function header({ array, photos }: Result): SafeHtml {
  const day = shotOn(photos);
  const tubes = tubeLayout(array).count;
  const facts = [
    array.arrangement === 'packed'
      ? `${tubes} tubes, packed without rows`
      : array.map
        ? `${tubes} tubes in ${array.rows} rows × ${array.columns} columns, ${array.arrangement}`
        : `${array.rows} × ${array.columns} tubes, ${array.arrangement}`,
    `${trimmed(array.tubeLengthMm)} mm long, bore ${trimmed(array.tubeBoreMm)} mm`,
    `pitch ${trimmed(array.backPitchMm)} mm at the back, ${trimmed(array.frontPitchMm)} mm at the front`,
    `${counted(photos.length, 'photo')}${day === null ? ' (without a date)' : `, taken on ${day}`}`,
  ];
  return html`<header class="top"><p class="kind">Bench report</p><h1>${array.name}</h1><p class="facts">${facts.join(' · ')}</p></header>`;
}

/**
 * The report as one HTML document that works offline.
 *
 * @param result - what was measured
 * @param evidence - what backs the plots; without it the page shows what the result alone can
 * @param source - said in the page's foot
 */
export function reportPage(whole: Result, evidence: Evidence | null, source: PageSource): string {
  // Holes without a tube are no tubes: the maps leave them out, the first screen says what they would bring.
  const result = tubesOnly(whole);
  const sections = evidenceSections(result, evidence);
  const main = html`${answersSection(result, evidence)}
${contents(sections)}
<div class="evidence">${sectionList(sections)}
${tubePanel(result.array)}</div>`;
  return pageShell({
    title: `${result.array.name} – bench report`,
    header: header(result),
    main,
    source,
    charts: result.pairs.length > 0 ? { 'dip-chart': dipChart(result, evidence) } : {},
    data: reportData(result, evidence),
  });
}
