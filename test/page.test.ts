import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { comparisonPage, reportPage } from '@twolamp/report';
import type { Result } from '@twolamp/session';
import { type Browser, chromium, type Locator, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exampleComparison } from '../packages/words/src/example/example-comparison.js';
import { exampleEvidence, exampleResult } from '../packages/words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../packages/report/src/example/example-source.js';
import { examplePicture } from './example-picture.js';

const BROWSER = '/usr/bin/chromium';
const hasBrowser = existsSync(BROWSER);
if (!hasBrowser) console.warn(`No browser at ${BROWSER}: the page is not tested in one.`);

const NAME = '<script>document.title = "taken"</script>';

describe.skipIf(!hasBrowser)('the report in a browser', () => {
  let browser: Browser;
  let folder: string;
  let address: string;
  let comparisonAddress: string;
  const result: Result = { ...exampleResult(), array: { ...exampleResult().array, name: NAME } };

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'twolamp-page-'));
    const write = (name: string, page: string) => {
      const file = join(folder, name);
      writeFileSync(file, page);
      return pathToFileURL(file).href;
    };
    const evidence = exampleEvidence(await examplePicture(result));
    address = write('report.html', reportPage(result, evidence, EXAMPLE_SOURCE));
    const { comparison, earlier, later } = exampleComparison();
    comparisonAddress = write(
      'compare.html',
      comparisonPage(
        comparison,
        { result: earlier, evidence },
        { result: later, evidence: null },
        EXAMPLE_SOURCE,
      ),
    );
    browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
  });

  afterAll(async () => {
    await browser?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  /** Opens the page; what it complains of and asks for is kept. */
  async function open(
    width: number,
    from = address,
  ): Promise<{ page: Page; complaints: string[]; requests: string[] }> {
    const page = await browser.newPage({ viewport: { width, height: 900 } });
    const complaints: string[] = [];
    const requests: string[] = [];
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('request', (request) => {
      if (!/^(data|blob):/.test(request.url())) requests.push(request.url());
    });
    await page.goto(from);
    return { page, complaints, requests };
  }

  test('asks for nothing, complains of nothing, and takes no name for code', async () => {
    const { page, complaints, requests } = await open(1400);
    await page.locator('#dip-chart .main-svg').first().waitFor();
    expect(complaints).toEqual([]);
    expect(requests).toEqual([address]);
    expect(await page.title()).toBe(`${NAME} – bench report`);
    expect(await page.locator('h1').textContent()).toBe(NAME);
    await page.close();
  });

  test('a click on a tube in the map tells its story', async () => {
    const { page, complaints } = await open(1400);
    const map = page.locator('#transmission svg.map');
    await map.scrollIntoViewIfNeeded();
    // Row 3, column 17 lies 1.5 pitches right of the middle and 9.5 above it.
    const place = await map.evaluate((element) => {
      const svg = element as SVGSVGElement;
      const point = new DOMPoint(1.5, -9.5).matrixTransform(svg.getScreenCTM()!);
      return { x: point.x, y: point.y };
    });
    await page.mouse.click(place.x, place.y);
    const panel = page.locator('#panel');
    expect(await panel.locator('h2').textContent()).toBe('Row 3, column 17');
    const story = (await panel.textContent())!.replaceAll('\u00a0', ' ');
    expect(story).toContain('From the front: row 3, column 14');
    expect(story).toContain('0.004 ± 0.006');
    expect(story).toContain('Blocked.');
    expect(await panel.locator('svg.crop').count()).toBe(1);
    expect(complaints).toEqual([]);
    await page.close();
  });

  async function isInSight(what: Locator): Promise<boolean> {
    const place = (await what.boundingBox())!;
    return place.y >= 0 && place.y + place.height <= what.page().viewportSize()!.height;
  }

  test('a tube named on the first screen brings its story into sight', async () => {
    const { page } = await open(1400);
    // Charts that are still being drawn move what lies below them.
    await page.locator('#dip-chart .main-svg').first().waitFor();
    await page.locator('.answer button.tube').first().click();
    // The page may glide there.
    await expect.poll(() => isInSight(page.locator('#panel h2')), { timeout: 10_000 }).toBe(true);
    await page.close();
  });

  test('the photo, the lists, the keyboard and the numbers lead to a tube as well', async () => {
    const { page, complaints } = await open(1400);
    const title = page.locator('#panel h2');
    await page.locator('#pull button.tube').nth(4).click();
    expect(await title.textContent()).toBe('Row 7, column 22');
    expect(await page.locator('#panel .response .main-svg').count()).toBeGreaterThan(0);
    await page.locator('#transmission svg.map').focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowRight');
    expect(await title.textContent()).toBe('Row 8, column 23');
    await page.fill('#go [name=row]', '24');
    await page.fill('#go [name=column]', '30');
    await page.keyboard.press('Enter');
    expect(await title.textContent()).toBe('Row 24, column 30');
    const photo = page.locator('#photo svg.map');
    await photo.scrollIntoViewIfNeeded();
    const { xPx, yPx } = result.cells[0]!;
    const place = await photo.evaluate(
      (element, [x, y]) => {
        const point = new DOMPoint(x, y).matrixTransform((element as SVGSVGElement).getScreenCTM()!);
        return { x: point.x, y: point.y };
      },
      [xPx / 4, yPx / 4] as const,
    );
    await page.mouse.click(place.x, place.y);
    expect(await title.textContent()).toBe('Row 1, column 1');
    expect(complaints).toEqual([]);
    await page.close();
  });

  test('a comparison answers to a click as well', async () => {
    const { page, complaints, requests } = await open(1400, comparisonAddress);
    await page.locator('#dips-chart .main-svg').first().waitFor();
    await page.locator('#changes button.tube').first().click();
    const story = (await page.locator('#panel').textContent())!;
    expect(story).toContain('Row 15, column 15');
    expect(story).toContain('New fault.');
    expect(complaints).toEqual([]);
    expect(requests).toEqual([comparisonAddress]);
    await page.close();
  });

  test.each([390, 1400])('nothing runs off a page %i pixels wide', async (width) => {
    const { page } = await open(width);
    await page.locator('#dip-chart .main-svg').first().waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
    await page.close();
  });
});
