import { type Comparison, placedResult, type Result } from '@twolamp/session';
import {
  type Answer,
  doubtsOfBoth,
  overallAnswer,
  REAL_FAULTS,
  resolvingChangeAnswer,
  scaleAnswer,
  tubesChangeAnswer,
} from '@twolamp/words';
import { chartPlace } from '../charts/chart.js';
import { type Measured, twoDipsChart } from '../charts/two-dips-chart.js';
import { html, type SafeHtml } from '../html/html.js';
import { comparisonMapFigures } from '../maps/comparison-maps.js';
import { markLegend } from '../maps/marks.js';
import { answerText } from './answer-text.js';
import { doubtSection } from './doubt-section.js';
import { changesTable } from './changes-table.js';
import type { PageData } from './page-data.js';
import { findingList } from './finding-list.js';
import { contents, present, type Section, sectionList } from './section.js';
import { pageShell } from './shell.js';
import { type PageSource, shotOn } from './source.js';
import { tubePanel } from './tube-panel.js';

function answers(comparison: Comparison, earlier: Measured, later: Measured): SafeHtml {
  const tubes = tubesChangeAnswer(comparison);
  const part = (question: string, answer: Answer) =>
    html`<section class="answer">${answerText(question, answer)}</section>`;
  return html`<div class="answers thirds">
${doubtSection(doubtsOfBoth(earlier.result, later.result))}
<section class="answer lead alone"><div>${answerText('Is it better?', overallAnswer(comparison))}</div></section>
${part('How fine does it see?', resolvingChangeAnswer(comparison, earlier.result, later.result))}
${part('Which tubes changed?', tubes)}
${part('Does it pass more light?', scaleAnswer(comparison))}
</div>`;
}

function sections(comparison: Comparison, earlier: Measured, later: Measured): Section[] {
  const faults = REAL_FAULTS.filter((fault) =>
    [...earlier.result.cells, ...later.result.cells].some((cell) => cell.fault === fault),
  );
  const hasPairs = earlier.result.pairs.length + later.result.pairs.length > 0;
  return present([
    {
      id: 'maps',
      title: 'Light of each tube',
      body: html`${comparisonMapFigures(comparison, earlier.result, later.result)}${markLegend(faults)}`,
    },
    {
      id: 'dip',
      title: 'Dip against distance',
      body: hasPairs ? chartPlace('dips-chart', 'Dip against distance, earlier and later.') : null,
    },
    {
      id: 'changes',
      title: 'Tubes that changed or need work',
      body: comparison.tubes.length > 0 ? changesTable(comparison) : null,
    },
    {
      id: 'notes',
      title: 'Notes',
      body: findingList(comparison.findings),
    },
  ]);
}

/** When the photos of both were taken, as far as they say. */
function takenText(earlier: Result, later: Result): string {
  const [now, before] = [later, earlier].map(({ photos }) => shotOn(photos));
  if (now === null && before === null) return 'The photos of neither carry a date.';
  return `Photos of ${now ?? 'an unknown day'}, earlier ones of ${before ?? 'an unknown day'}.`;
}

/**
 * An earlier and a later result, side by side, as one HTML document that works offline.
 *
 * @param comparison - what was found by comparing them
 * @param before - the earlier result; with its evidence the fitted dip curve is drawn as well
 * @param after - likewise
 */
export function comparisonPage(
  comparison: Comparison,
  before: Measured,
  after: Measured,
  source: PageSource,
): string {
  const [earlier, later] = [before, after].map((one) => ({ ...one, result: placedResult(one.result) }));
  const list = sections(comparison, earlier, later);
  const hasTubes = comparison.tubes.length > 0;
  const data: PageData = hasTubes
    ? { kind: 'comparison', array: later.result.array, tubes: comparison.tubes }
    : null;
  return pageShell({
    title: `${comparison.later} against ${comparison.earlier}`,
    header: html`<header class="top"><p class="kind">Comparison</p><h1>${comparison.later}</h1><p class="facts">against ${comparison.earlier}, measured earlier. ${takenText(earlier.result, later.result)}</p></header>`,
    main: html`${answers(comparison, earlier, later)}
${contents(list)}
<div class="${hasTubes ? 'evidence' : 'evidence wide'}">${sectionList(list)}${hasTubes ? tubePanel(later.result.array) : null}</div>`,
    source,
    charts: list.some(({ id }) => id === 'dip') ? { 'dips-chart': twoDipsChart(earlier, later) } : {},
    data,
  });
}
