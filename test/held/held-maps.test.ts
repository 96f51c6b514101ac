import { comparisonPage, reportPage } from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';
import { EXAMPLE_SOURCE } from '../../packages/report/src/example/example-source.js';
import { exampleComparison } from '../../packages/words/src/example/example-comparison.js';
import { exampleEvidence, exampleResult } from '../../packages/words/src/example/example-result.js';
import { heldText } from './page-text.js';

/** Longer values are cut to their ends. */
const MOST_LETTERS = 160;
const END_LETTERS = 60;
/** Of many elements of a kind in a row, so many are written, and then each so manieth. */
const FIRST = 12;
const EACH = 23;

const shortened = (value: string) =>
  value.length <= MOST_LETTERS
    ? value
    : `${value.slice(0, END_LETTERS)} … ${value.slice(-END_LETTERS)} (${value.length} letters)`;

/** What the maps and strips of a page are drawn from: each element with all its attributes, colours and places included. */
function drawnOf(page: string): string {
  const pictures = page.match(/<svg (?:class="map"|viewBox="0 0)[\s\S]*?<\/svg>/g) ?? [];
  const lines = pictures.flatMap((picture) => {
    let [last, inRow] = ['', 0];
    return [...picture.matchAll(/<(\w+)((?:\s[\w-]+="[^"]*")*)\s*\/?>/g)].flatMap(([, tag, attributes]) => {
      inRow = tag === last ? inRow + 1 : 0;
      last = tag!;
      if (inRow >= FIRST && inRow % EACH > 0) return [];
      return [`${tag}${attributes!.replaceAll(/"([^"]*)"/g, (_, value: string) => ` ${shortened(value)}`)}`];
    });
  });
  return `${lines.join('\n').replaceAll('\u00a0', ' ')}\n`;
}

const RIGHT = exampleResult();
const EVIDENCE = exampleEvidence('data:,');
const { comparison, earlier, later } = exampleComparison();
/** The same tubes stacked without rows and columns, some of which a break, a slip and a gap lie between. */
const PACKED: Result = {
  ...RIGHT,
  array: { ...RIGHT.array, arrangement: 'packed', rows: 0, columns: 0, tubes: RIGHT.cells.length },
  cells: RIGHT.cells.map((cell) => ({ ...cell, row: null, column: null })),
  pull: RIGHT.pull.map((entry) => ({ ...entry, row: null, column: null })),
  crosstalk: RIGHT.crosstalk && { ...RIGHT.crosstalk, kernel: [], kernelUncertainty: [] },
};
const PACKING: Evidence['packing'] = { breaks: [40, 41], slips: [[90, 91]], gaps: [[130, 131]] };

heldText('maps-of-a-report', () => drawnOf(reportPage(RIGHT, EVIDENCE, EXAMPLE_SOURCE)));
heldText('maps-of-packed-tubes', () =>
  drawnOf(reportPage(PACKED, { ...EVIDENCE, packing: PACKING }, EXAMPLE_SOURCE)),
);
heldText('maps-of-a-comparison', () =>
  drawnOf(
    comparisonPage(
      comparison,
      { result: earlier, evidence: EVIDENCE },
      { result: later, evidence: EVIDENCE },
      EXAMPLE_SOURCE,
    ),
  ),
);
