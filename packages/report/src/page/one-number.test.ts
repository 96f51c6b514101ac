import { describe, expect, test } from 'vitest';
import { distanceText, headlines, measuredDistance } from '@twolamp/words';
import { cellsCsv, pairsCsv } from '../csv.js';
import { exampleEvidence, exampleResult } from '../../../words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { pullMap } from '../print/pull-map.js';
import { drawingSvg } from '../print/svg.js';
import { historyPage } from './history-page.js';
import { reportPage } from './report-page.js';

// A figure is computed once but said in many places; a person who finds two numbers for one thing trusts neither.

const result = exampleResult();
const page = reportPage(result, exampleEvidence('data:,'), EXAMPLE_SOURCE);
const readable = (markup: string) =>
  markup
    .replace(/<(script|style)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&nbsp;|\u00a0/g, ' ')
    .replace(/\s+/g, ' ');
const text = readable(page);
const terminal = headlines(result).join(' ').replaceAll('\u00a0', ' ');
const embedded = (id: string) =>
  JSON.parse(new RegExp(`<script type="application/json" id="${id}">(.*)</script>`).exec(page)![1]!);
const charts = JSON.stringify(embedded('charts')).replaceAll('\u00a0', ' ');
const history = readable(
  historyPage([result, result, result], { ...EXAMPLE_SOURCE, files: ['a.json', 'b.json', 'c.json'] }),
);

/** All that the pattern's first group takes from these texts. */
const found = (pattern: RegExp, ...texts: readonly string[]) =>
  texts.flatMap((one) => [...one.matchAll(pattern)].map(([, figure]) => figure!));

describe('one number for one thing', () => {
  test('the resolving distance, on page, chart, history and terminal, and as weighings say it', () => {
    const said = [
      ...found(/stay separate up to ([\d.]+ m) away/g, text, terminal),
      ...found(/Resolving distance, measured ([\d.]+ m) \(/g, text),
      ...found(/"text":" measured ([\d.]+ m) "/g, charts),
      ...found(/([\d.]+ m) \([\d.]+ to [\d.]+ m\), lamps 60 mm apart/g, history),
      ...found(/^([\d.]+\sm) \(/g, distanceText(measuredDistance(result.resolving!))).map((one) =>
        one.replace('\u00a0', ' '),
      ),
    ];
    expect(said).toHaveLength(2 + 1 + 1 + 3 + 1);
    expect(new Set(said).size).toBe(1);
  });

  test('the acceptance width of a typical tube', () => {
    const said = found(/(?:a typical tube sees |a typical tube’s is )([\d.]+°)/gi, text);
    expect(said).toHaveLength(2);
    expect(new Set(said).size).toBe(1);
  });

  test('what replacing the whole list brings', () => {
    const light = found(/(?:all 11 [^%]*?|It would return )([\d.]+ ± [\d.]+ %)/g, text);
    const farther = [
      ...found(/separate ([\d.]+ ± [\d.]+ mm) farther/g, text, terminal),
      ...found(/all 11 ([\d.]+ ± [\d.]+ mm)/g, text),
    ];
    expect([light.length, farther.length]).toEqual([2, 3]);
    expect([new Set(light).size, new Set(farther).size]).toEqual([1, 1]);
  });

  test('the dip of each shot: list, point of the chart and pairs.csv; a strip shows one of them', () => {
    const csv = pairsCsv(result).split('\r\n').slice(1, -1);
    for (const { photo } of result.pairs) {
      const [inList] = found(new RegExp(`${photo}: [^:]*?dip ([\\d.]+) ±`, 'g'), text);
      const [inChart] = found(new RegExp(`${photo}<br>[^"]*?dip ([\\d.]+) ±`, 'g'), charts);
      const raw = Number(csv.find((line) => line.startsWith(`${photo},`))!.split(',')[6]);
      expect([photo, inChart, raw.toFixed(3)]).toEqual([photo, inList, inList]);
    }
    const [, strips] = /<figure class="strips">(.*?)<figcaption>/s.exec(page)!;
    const shown = found(/>([\d.]+) (?:not )?separate</g, strips!);
    expect(shown).toHaveLength(6);
    const dips = result.pairs.map(({ dip }) => dip!.toFixed(3));
    for (const dip of shown) expect(dips).toContain(dip);
  });

  test('the light of a tube that needs work: list, panel and cells.csv', () => {
    const { row, column } = result.pull[0]!;
    const [inList] = found(/relative transmission ([\d.]+) ±/g, text);
    const inPanel = embedded('data').cells.find(
      (cell: { row: number; column: number }) => cell.row === row && cell.column === column,
    ).transmission.relative as number;
    const [header, ...lines] = cellsCsv(result).split('\r\n');
    const at = header!.split(',').indexOf('transmission.relative');
    const own = lines.find((line) => line.split(',').slice(1, 3).join() === `${row},${column}`)!;
    expect([inPanel.toFixed(3), Number(own.split(',')[at]).toFixed(3)]).toEqual([inList, inList]);
  });

  test('where to move a front end: list, panel and both pull sheets', () => {
    const moved = /Move its front end ([\d.]+ mm to the (?:left|right) and [\d.]+ mm (?:up|down))/g;
    const [back, front] = (['back', 'front'] as const).map((from) =>
      readable(drawingSvg(pullMap(result, from))),
    );
    const panel = (embedded('data').reasons as string[]).join(' ').replaceAll('\u00a0', ' ');
    const said = found(moved, text, panel, back!);
    expect(said).toHaveLength(3);
    expect(new Set(said).size).toBe(1);
    expect(found(moved, front!)).toEqual([said[0]!.replace('left', 'right')]);
  });

  test('no angle is said to be 0.0000°', () => {
    expect(text).not.toMatch(/(?<![\d.])0\.0+°/);
  });
});
