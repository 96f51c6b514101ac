import { finding, reason } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleEvidence, exampleResult } from '../../../words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { reportPage } from './report-page.js';

const NASTY = '</script><script>alert(1)</script>"\'\u2028';
const example = exampleResult();

/** The page without the plot library, which is long and not ours. */
function ours(page: string): string {
  return page.replace(/<script>\/\*\*\n\* plotly[\s\S]*?<\/script>/, '');
}

describe('reportPage', () => {
  test('names, photo paths and reasons are text wherever they stand', () => {
    const result = {
      ...example,
      array: { ...example.array, name: NASTY },
      cells: example.cells.map((cell) => ({
        ...cell,
        reasons: cell.fault === 'none' ? [] : [reason('reason-v1', { text: NASTY })],
      })),
      pairs: example.pairs.map((pair) => ({ ...pair, photo: `${NASTY}${pair.photo}` })),
      photos: example.photos.map((photo) => ({ ...photo, photo: NASTY })),
      findings: [finding('note-v1', NASTY, { text: NASTY })],
    };
    const evidence = exampleEvidence('data:image/png;base64,AA==');
    const page = ours(
      reportPage(
        result,
        {
          ...evidence,
          picture: { ...evidence.picture!, photo: NASTY, jpeg: 'x" onload="alert(1)' },
          profiles: evidence.profiles.map((profile) => ({ ...profile, photo: `${NASTY}${profile.photo}` })),
        },
        EXAMPLE_SOURCE,
      ),
    );
    expect(page).not.toContain('<script>alert');
    expect(page).not.toContain('onload="alert');
    expect(page.match(/<script/g)).toHaveLength(3); // two of data, one of our own
    const [, json] = /<script type="application\/json" id="data">(.*)<\/script>/.exec(page)!;
    expect(JSON.parse(json!).array.name).toBe(NASTY);
  });

  test('nothing is fetched: no address but those inside the page', () => {
    const page = ours(reportPage(example, exampleEvidence('data:image/png;base64,AA=='), EXAMPLE_SOURCE));
    const addresses = [...page.matchAll(/(?:src|href)="([^"]*)"/g)].map(([, address]) => address!);
    for (const address of addresses) expect(address).toMatch(/^(#|data:)/);
    expect(page).toContain('default-src &#39;none&#39;');
  });

  test('a result alone, with little in it, makes a page that says what is missing', () => {
    const bare = {
      ...example,
      cells: example.cells.map((cell) => ({
        ...cell,
        pointing: null,
        crosstalk: null,
        bend: null,
        cureShiftMm: null,
        transmission: {
          relative: null,
          relativeUncertainty: null,
          absolute: null,
          absoluteUncertainty: null,
        },
        fault: 'none' as const,
        reasons: [],
      })),
      pairs: [],
      resolving: null,
      crosstalk: null,
      pull: [],
      findings: [],
      photos: [],
    };
    const page = ours(reportPage(bare, null, EXAMPLE_SOURCE));
    for (const title of ['How far two lamps stay separate', 'Absolute transmission', 'Crosstalk']) {
      expect(page).toContain(`<dt>${title}</dt>`);
    }
    expect(page).not.toContain('NaN');
    expect(page).not.toContain('undefined</');
  });

  test('headings go down one level at a time, and every link leads somewhere', () => {
    const page = ours(reportPage(example, exampleEvidence('data:image/png;base64,AA=='), EXAMPLE_SOURCE));
    const levels = [...page.matchAll(/<h(\d)/g)].map(([, level]) => Number(level));
    expect(levels[0]).toBe(1);
    for (let i = 1; i < levels.length; i++) expect(levels[i]! - levels[i - 1]!).toBeLessThanOrEqual(1);
    const ids = new Set([...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    for (const [, target] of page.matchAll(/href="#([^"]+)"/g)) expect(ids).toContain(target);
  });
});
