import { afterAll, beforeAll, vi } from 'vitest';
import { comparisonLabels, comparisonStories } from '../../packages/report/src/client/comparison-story.js';
import { reportLabels, reportStories } from '../../packages/report/src/client/report-story.js';
import { reportData } from '../../packages/report/src/page/page-data.js';
import { exampleComparison } from '../../packages/words/src/example/example-comparison.js';
import { exampleEvidence, exampleResult } from '../../packages/words/src/example/example-result.js';
import { heldText } from './page-text.js';

/* What the page tells of a tube that is chosen or pointed at, from its sources: the browser runs a bundle of them. */

/** As much of an element as the stories make. */
class Made {
  readonly attributes: string[] = [];
  readonly children: (Made | string)[] = [];
  constructor(readonly name: string) {}
  setAttribute(name: string, value: string): void {
    this.attributes.push(
      `${name}=${/^[\d. -]+$/.test(value) ? value.replaceAll(/\d+(\.\d+)?/g, (n) => Number(n).toFixed(1)) : value}`,
    );
  }
  append(...children: (Made | string)[]): void {
    this.children.push(...children);
  }
  lines(indent = '  '): string[] {
    const words = this.children.filter((child) => typeof child === 'string').join('');
    const head = [this.name, ...this.attributes].join(' ');
    return [
      `${indent}${head}${words === '' ? '' : `: ${words}`}`,
      ...this.children.flatMap((child) => (typeof child === 'string' ? [] : child.lines(`${indent}  `))),
    ];
  }
}

beforeAll(() => {
  const createElement = (name: string) => new Made(name);
  vi.stubGlobal('document', { createElement, createElementNS: (_: string, name: string) => new Made(name) });
});
afterAll(() => vi.unstubAllGlobals());

/** The pieces of a story, a line each. */
function storyLines(story: { readonly content: readonly unknown[] } | null): string[] {
  return story === null ? ['  –'] : (story.content as Made[]).flatMap((piece) => piece.lines());
}

const RESULT = exampleResult();
const asText = (lines: readonly string[]) => `${lines.join('\n').replaceAll('\u00a0', ' ')}\n`;

heldText('panels', () => {
  const data = reportData(RESULT, { ...exampleEvidence('data:,'), pitchPx: 20 });
  const [story, label] = [reportStories(data), reportLabels(data)];
  const chosen = RESULT.cells.filter(
    ({ fault, crosstalk }, n) => n === 0 || fault !== 'none' || crosstalk !== null,
  );
  return asText(
    chosen
      .flatMap((tube) => [label(tube)!, ...storyLines(story(tube))])
      .concat(storyLines(story({ cell: 9999 }))),
  );
});

heldText('panels-without-sweep', () => {
  const bare = {
    ...RESULT,
    cells: RESULT.cells.map((cell) => ({
      ...cell,
      pointing: null,
      bend: null,
      crosstalk: null,
      transmission: { ...cell.transmission, absolute: null, absoluteUncertainty: null },
    })),
  };
  const data = reportData(bare, null);
  return asText([reportLabels(data)({ cell: 1 })!, ...storyLines(reportStories(data)({ cell: 1 }))]);
});

heldText('panels-of-a-comparison', () => {
  const { comparison, later } = exampleComparison();
  const data = { kind: 'comparison', array: later.array, tubes: comparison.tubes } as const;
  const [story, label] = [comparisonStories(data), comparisonLabels(data)];
  const seen = new Set<string>();
  const chosen = comparison.tubes.filter(({ verdict, faultEarlier }) => {
    const isNew = !seen.has(`${verdict} ${faultEarlier}`);
    seen.add(`${verdict} ${faultEarlier}`);
    return isNew;
  });
  return asText(chosen.flatMap((tube) => [label(tube)!, ...storyLines(story(tube))]));
});
