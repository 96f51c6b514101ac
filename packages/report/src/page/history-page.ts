import type { Result } from '@twolamp/session';
import {
  countByFault,
  counted,
  decimal,
  distanceText,
  lengthM,
  meanAbsolute,
  measuredDistance,
  percentPlusMinus,
  REAL_FAULTS,
  relativeSpread,
  tubeLabel,
  tubesOnly,
} from '@twolamp/words';
import { chartPlace } from '../charts/chart.js';
import { historyChart, resultName } from '../charts/history-chart.js';
import { html, type SafeHtml } from '../html/html.js';
import { mapFigure } from '../maps/map-figure.js';
import { markLegend } from '../maps/marks.js';
import { transmissionMap } from '../maps/transmission-map.js';
import type { HistoryData } from './page-data.js';
import { contents, present, sectionList } from './section.js';
import { pageShell } from './shell.js';
import { type PageSource, shotOn } from './source.js';
import { stackedTable } from './stacked-table.js';

function needWork({ cells }: Result): number {
  return cells.filter(({ fault }) => fault !== 'none').length;
}

function distanceWords({ resolving }: Result): string {
  if (resolving === null) return 'not measured';
  const doubtful = resolving.doubtful ? '; doubtful' : '';
  return `${distanceText(measuredDistance(resolving))}, lamps ${lengthM(resolving.spacingM)} apart${doubtful}`;
}

function lightWords({ cells }: Result): string {
  const absolute = meanAbsolute(cells);
  if (absolute) return `mean ${percentPlusMinus(absolute.mean, absolute.uncertainty)}`;
  const spread = relativeSpread(cells);
  return spread ? `spread ${percentPlusMinus(spread.spread, spread.uncertainty)}` : 'not measured';
}

const COLUMNS = ['Result', 'Photos taken', 'File', 'Resolving distance', 'Need work', 'Light'].map(
  (title) => ({
    title,
  }),
);

function table(results: readonly Result[], files: readonly string[]): SafeHtml {
  const rows = results.map((result, n) => {
    const faults = countByFault(result.cells).map(({ fault, count }) => `${count} ${fault}`);
    const work =
      faults.length === 0 ? 'none' : `${needWork(result)} of ${result.cells.length}: ${faults.join(', ')}`;
    return [
      resultName(result, n),
      shotOn(result.photos) ?? 'date not known',
      files[n] ?? '',
      distanceWords(result),
      work,
      lightWords(result),
    ];
  });
  return stackedTable('Results', COLUMNS, rows);
}

function headline(results: readonly Result[]): string {
  const [first, last] = [results[0]!, results.at(-1)!];
  const [before, now] = [needWork(first), needWork(last)];
  const went = before === now ? `stayed ${now}` : `went from ${before} to ${now}`;
  return `From the first to the last of ${counted(results.length, 'result')}, the number of tubes that need work ${went}.`;
}

/** The transmission maps one after the other, all on the scale of the widest. */
function maps(results: readonly Result[]): SafeHtml {
  const drawn = results.map(transmissionMap);
  const high = Math.max(...drawn.map((map) => map.high));
  return html`<div class="pair thirds-on-paper">${drawn.map((map, i) =>
    mapFigure({
      map: { ...map, high },
      ticks: ['0', decimal(high / 2, 1), `${decimal(high, 1)} and more`],
      caption: resultName(results[i]!, i),
    }),
  )}</div>${markLegend(REAL_FAULTS.filter((fault) => results.some(({ cells }) => cells.some((cell) => cell.fault === fault))))}`;
}

function historyData(results: readonly Result[]): HistoryData {
  return {
    kind: 'history',
    maps: results.map(({ array, cells }) => ({
      array,
      labels: cells.map((cell) => ({ cell: cell.cell, text: tubeLabel(cell) })),
    })),
  };
}

/**
 * Three and more results, oldest first, as one HTML document that works offline: figures beside each other, without a verdict, which
 * takes a comparison of two.
 *
 * @param source - its files are those of the results, in the same order
 */
export function historyPage(given: readonly Result[], source: PageSource): string {
  const results = given.map(tubesOnly);
  const chart = historyChart(results);
  const sections = present([
    { id: 'results', title: 'Result by result', body: table(results, source.files) },
    {
      id: 'distance',
      title: 'Resolving distance',
      body: chart ? chartPlace('history-chart', 'Resolving distance of each result, oldest first.') : null,
    },
    { id: 'maps', title: 'Light of each tube', body: maps(results) },
  ]);
  const name = results.at(-1)!.array.name;
  return pageShell({
    title: `${name} – history`,
    header: html`<header class="top"><p class="kind">History</p><h1>${name}</h1><p class="facts">${counted(results.length, 'result')}, oldest first</p></header>`,
    main: html`<div class="answers"><section class="answer lead alone"><div><h2>How did it go?</h2><p class="headline">${headline(results)}</p>
<p>A comparison of two results tells whether one is better than the other by more than the uncertainty.</p></div></section></div>
${contents(sections)}<div class="evidence wide">${sectionList(sections)}</div>`,
    source,
    charts: chart ? { 'history-chart': chart } : {},
    data: historyData(results),
  });
}
