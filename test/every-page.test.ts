import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { comparisonPage, historyPage, previewPage, reportPage, weighingPage } from '@twolamp/report';
import type { Way } from '@twolamp/session';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exampleComparison } from '../packages/words/src/example/example-comparison.js';
import { examplePreview } from '../packages/words/src/example/example-preview.js';
import { exampleEvidence, exampleResult } from '../packages/words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../packages/report/src/example/example-source.js';
import { barriers, hasBrowser, labelUnderPointer, launchBrowser } from './bench-in-browser.js';
import { examplePicture } from './example-picture.js';

const NAMES = ['report', 'comparison', 'history', 'preview', 'weighing'] as const;
type Name = (typeof NAMES)[number];

const way = (name: string, newTubes: number): Way => ({
  way: name,
  tubes: 720,
  newTubes,
  hours: newTubes / 30,
  resolvingM: { value: 3.12, low: 3.01, high: 3.24, basis: 'measured', bound: 'within' },
  fieldDeg: { across: 13.1, up: 9, uncertainty: 0.06, basis: 'measured' },
  rows: 24,
  columns: 30,
  cellsAcrossSubject: { value: 21.7, uncertainty: 0.04, basis: 'measured' },
  effectiveFNumber: { value: 30.2, uncertainty: 0.3, basis: 'measured' },
  exposure: null,
  preview: null,
});

async function pages(): Promise<Record<Name, string>> {
  const result = exampleResult();
  const picture = await examplePicture(result);
  const evidence = exampleEvidence(picture);
  const { comparison, earlier, later } = exampleComparison();
  const print = { positive: picture, negative: picture };
  const pictures = { scene: picture, asMeasured: print, repaired: print, perfect: print };
  const files = ['first/result.json', 'second/result.json', 'third/result.json'];
  return {
    report: reportPage(result, evidence, EXAMPLE_SOURCE),
    comparison: comparisonPage(
      comparison,
      { result: earlier, evidence },
      { result: later, evidence: null },
      EXAMPLE_SOURCE,
    ),
    history: historyPage([earlier, later, result], { ...EXAMPLE_SOURCE, files }),
    preview: previewPage(examplePreview(), pictures, EXAMPLE_SOURCE),
    weighing: weighingPage(
      {
        format: 'twolamp-weighing/1',
        array: 'Reed panel',
        minutesPerTube: { value: 2, stated: false },
        spacingM: 0.06,
        subject: { widthM: 0.5, distanceM: 2 },
        lens: null,
        ways: [way('as it is', 0), way('mended', 11), way('rebuilt: matte walls', 720)],
      },
      new Map(),
      EXAMPLE_SOURCE,
    ),
  };
}

describe.skipIf(!hasBrowser)('every page', () => {
  let browser: Browser;
  let folder: string;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'twolamp-pages-'));
    for (const [name, page] of Object.entries(await pages()))
      writeFileSync(join(folder, `${name}.html`), page);
    browser = await launchBrowser();
  });

  afterAll(async () => {
    await browser?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  async function opened(name: Name, width: number, colorScheme: 'light' | 'dark' = 'light'): Promise<Page> {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
    await page.goto(pathToFileURL(join(folder, `${name}.html`)).href);
    return page;
  }

  test.each(
    NAMES.flatMap((name) => [
      [name, 1280, 'light'] as const,
      [name, 1020, 'light'] as const,
      [name, 390, 'light'] as const,
      [name, 1280, 'dark'] as const,
    ]),
  )('%s, %i pixels wide, %s: shuts nobody out, and fits the window', async (name, width, scheme) => {
    const page = await opened(name, width, scheme);
    expect(await barriers(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    const tables = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('.stacked')].map((one) => one.scrollWidth - one.clientWidth),
    );
    for (const beyond of tables) expect(beyond).toBeLessThanOrEqual(0);
    await page.close();
  });

  test.each(NAMES)('%s in print: white ground, nothing beyond its place', async (name) => {
    // 186 mm of A4 less its margins, at 96 pixels an inch.
    const page = await opened(name, 703);
    await page.emulateMedia({ media: 'print' });
    await page.waitForFunction(() =>
      [...document.querySelectorAll<HTMLElement>('.chart')].every((chart) => {
        const drawn = chart.querySelector('.main-svg');
        return drawn !== null && drawn.getBoundingClientRect().height <= chart.clientHeight;
      }),
    );
    const grounds = await page.evaluate(() =>
      [document.body, ...document.querySelectorAll('.dark')].map(
        (one) => getComputedStyle(one).backgroundColor,
      ),
    );
    expect(new Set(grounds)).toEqual(new Set(['rgb(255, 255, 255)']));
    // Chromium moves a grid whose items must not break to the next page, and leaves the first one empty.
    const grids = await page.evaluate(() =>
      [...document.querySelectorAll('.answers')].map((one) => getComputedStyle(one).display),
    );
    expect(grids.every((display) => display === 'block')).toBe(true);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(703);
    await page.close();
  });

  test.each(['report', 'comparison', 'history'] as const)(
    '%s: every map of tubes says what is under the pointer',
    async (name) => {
      const page = await opened(name, 1280);
      const maps = page.locator('svg[data-map="lattice"]');
      const count = await maps.count();
      expect(count).toBeGreaterThan(2);
      for (let n = 0; n < count; n++) {
        expect(await labelUnderPointer(maps.nth(n))).toMatch(/^row \d+, column \d+/);
      }
      await page.close();
    },
  );
});
