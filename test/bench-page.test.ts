import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { type Bench, serveBench } from '@twolamp/page';
import { readPhoto } from '@twolamp/photos';
import { type Result, readResult, readSession, type ShotDraft } from '@twolamp/session';
import axe from 'axe-core';
import { unzipSync } from 'fflate';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import {
  BROWSER,
  drop,
  given,
  hasBrowser,
  plannedShots,
  settled,
  simulatedPhotos,
  typeArray,
  watch,
} from './bench-in-browser.js';

/** A whole journey, on a machine that has other work. */
const JOURNEY_MS = 600_000;

/** What the two fronts may differ by: 6-page of the design; the resolving distance to its last shown digit. */
const BOUNDS = { centrePx: 0.01, light: 0.001, resolvingM: 0.005 };

let bench: Bench;
let browser: Browser;
let shots: readonly ShotDraft[];
let photos: Map<string, Buffer>;
let folder: string;

describe.skipIf(!hasBrowser)('the bench in a browser', () => {
  let context: BrowserContext;
  let seen: Awaited<ReturnType<typeof watch>>;

  beforeAll(async () => {
    shots = plannedShots();
    photos = await simulatedPhotos(shots);
    folder = mkdtempSync(join(tmpdir(), 'twolamp-bench-'));
    bench = await serveBench({ port: 0, phone: null });
    browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    await bench?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  beforeEach(async () => {
    context = await browser.newContext({ viewport: { width: 1280, height: 900 }, reducedMotion: 'reduce' });
    context.setDefaultTimeout(120_000);
    seen = await watch(context, bench.address);
  });
  afterEach(async () => {
    await context.close();
    expect(seen.strangers).toEqual([]);
    expect(seen.complaints).toEqual([]);
  });

  async function open(width = 1280): Promise<Page> {
    const page = await context.newPage();
    await page.setViewportSize({ width, height: width < 500 ? 800 : 900 });
    await page.goto(bench.address);
    return page;
  }

  /** Serious trouble for people who see, hear or point otherwise. */
  async function accessibility(page: Page): Promise<string[]> {
    await page.evaluate(axe.source);
    const { violations } = await page.evaluate(() => (window as unknown as { axe: typeof axe }).axe.run());
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' | ')}`);
  }

  const photoField = (page: Page) => page.locator('[data-field="Photos"]');
  const photoOf = (shot: ShotDraft) => given(shot.photo, photos.get(shot.photo)!);

  test(
    'from an array typed in to a report whose figures the command line finds too',
    async () => {
      let page = await open();
      expect(await accessibility(page)).toEqual([]);
      await page.getByRole('button', { name: 'A new array' }).click();
      await typeArray(page);
      await page.getByRole('button', { name: /The short evening: \d+ photos/ }).click();
      expect(await accessibility(page)).toEqual([]);

      // Photos one after another, in the order in which the bench asks for them; the names tell nothing.
      const half = 6;
      for (const [i, shot] of shots.slice(0, half).entries()) {
        if (shot.kind === 'pair' && i === 3) {
          const white = await sharp({ create: { width: 720, height: 580, channels: 3, background: '#fff' } })
            .jpeg()
            .toBuffer();
          await photoField(page).setInputFiles(given('IMG_0999.jpg', white));
          await page.getByText('IMG_0999.jpg: shoot it again.').waitFor();
          await page.getByRole('button', { name: 'Shoot it again' }).first().click();
        }
        const name = `IMG_${1000 + i}.jpg`;
        if (i === 1) await drop(page, [{ ...photoOf(shot), name }]);
        else await photoField(page).setInputFiles({ ...photoOf(shot), name });
        await page.getByText(new RegExp(`${name}: good`)).waitFor();
      }
      await settled(page);
      await page.locator('#figures svg.map').waitFor();
      await page.locator('#figures .chart .main-svg').first().waitFor();
      expect(await accessibility(page)).toEqual([]);

      // The page is closed half-way; nothing is lost.
      const address = page.url();
      await page.close();
      page = await context.newPage();
      await page.goto(address);
      await page.locator('#figures .chart .main-svg').first().waitFor();
      expect(await page.locator('.tally').allTextContents()).toContain('3 of 5');

      // The rest at once: they go to their cards by their names.
      await photoField(page).setInputFiles(shots.slice(half).map(photoOf));
      await page.getByText(/All shots are taken/).waitFor();
      await settled(page);
      await page.getByRole('heading', { name: 'Report' }).waitFor();
      const answer = (await page.locator('#report li').first().textContent())!;
      expect(answer).toMatch(/stay separate up to/);

      // A photo is taken off its card, and back again.
      await page.locator('.group summary').last().click();
      await page
        .locator('.group')
        .last()
        .getByRole('button', { name: /Take .* off/ })
        .click();
      await page.getByRole('button', { name: 'Undo' }).click();
      await settled(page);

      const report = context.waitForEvent('page');
      await page.getByRole('button', { name: 'Open the report' }).click();
      const tab = await report;
      await tab.locator('#dip-chart .main-svg').first().waitFor();
      expect(await tab.title()).toBe('Small reed – bench report');
      await tab.close();

      const download = page.waitForEvent('download');
      await page.getByRole('button', { name: 'Save everything as a zip' }).click();
      const zip = await (await download).createReadStream();
      const parts: Buffer[] = [];
      for await (const part of zip) parts.push(part as Buffer);
      for (const [path, data] of Object.entries(unzipSync(Buffer.concat(parts)))) {
        mkdirSync(dirname(join(folder, path)), { recursive: true });
        writeFileSync(join(folder, path), data);
      }
      const { readFileSync } = await import('node:fs');
      const file = join(folder, 'session.yaml');
      const session = readSession(readFileSync(file, 'utf8'), file);
      expect(session.shots).toHaveLength(shots.length);
      const here = await measureSession(session, ({ photo }) =>
        readPhoto(join(folder, photo), { tone: 'srgb', channel: 'luminance' }),
      );
      const there = readResult(readFileSync(join(folder, 'measured/result.json'), 'utf8'), 'result.json');
      expect(there.made?.photos.map(({ photo }) => photo)).toEqual(session.shots.map(({ photo }) => photo));
      expectAlike(there, here.result);
      await page.close();
    },
    JOURNEY_MS,
  );

  function expectAlike(there: Result, here: Result): void {
    const far = here.cells.map((cell, i) =>
      Math.hypot(cell.xPx - there.cells[i]!.xPx, cell.yPx - there.cells[i]!.yPx),
    );
    expect(Math.max(...far)).toBeLessThan(BOUNDS.centrePx);
    const light = here.cells.map(
      (cell, i) => (cell.transmission.relative ?? 0) - (there.cells[i]!.transmission.relative ?? 0),
    );
    expect(Math.max(...light.map(Math.abs))).toBeLessThan(BOUNDS.light);
    expect(here.cells.map(({ fault }) => fault)).toEqual(there.cells.map(({ fault }) => fault));
    expect(here.resolving?.bound).toBe(there.resolving?.bound);
    expect(Math.abs(here.resolving!.distanceM - there.resolving!.distanceM)).toBeLessThan(BOUNDS.resolvingM);
  }

  test('the keyboard alone leads from an empty page to a shot list', async () => {
    const page = await open();
    const press = async (name: RegExp) => {
      for (let i = 0; i < 80; i++) {
        await page.keyboard.press('Tab');
        const text = await page.evaluate(() => document.activeElement?.textContent ?? '');
        if (name.test(text)) return page.keyboard.press('Enter');
      }
      throw new Error(`no focus on ${name}`);
    };
    await press(/^A new array$/);
    await page.locator('#field-name').focus();
    for (const text of ['Typed reed', null, '8', '10', '120 mm', '2.5 mm', '3 mm', '3.6 mm']) {
      if (text !== null) await page.keyboard.type(text);
      await page.keyboard.press('Tab');
    }
    await page.getByRole('button', { name: /The short evening/ }).waitFor();
    await press(/^The short evening/);
    await page.getByRole('heading', { name: 'Shoot' }).waitFor();
    await page.close();
  });

  test('a phone-sized window: nothing runs off, and a wrong field says what to do', async () => {
    const page = await open(390);
    await page.getByRole('button', { name: 'A new array' }).click();
    await page.fill('#field-rows', 'many');
    expect(await page.locator('#field-rows-hint').textContent()).toBe('Give a whole number from 2 to 500.');
    await typeArray(page);
    await page.fill('#field-tubeBore', '5 mm');
    await page.getByText(/doesn’t go together/).waitFor();
    await page.fill('#field-tubeBore', '2.5 mm');
    await page.getByRole('button', { name: /The short evening/ }).click();
    await photoField(page).setInputFiles(shots.slice(0, 4).map(photoOf));
    await page.locator('#figures .chart .main-svg').first().waitFor();
    await settled(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    expect(await accessibility(page)).toEqual([]);
    await page.emulateMedia({ colorScheme: 'dark' });
    expect(await accessibility(page)).toEqual([]);
    await page.close();
  });

  test('a bench is thrown away and taken back', async () => {
    const page = await open();
    await page.getByRole('button', { name: 'A new array' }).click();
    await page.fill('#field-name', 'Passing thought');
    await page.getByRole('button', { name: 'All benches' }).click();
    await page.getByRole('button', { name: 'Throw away Passing thought' }).click();
    await page.getByText('Passing thought is thrown away, with its photos.').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'Passing thought', exact: true }).click();
    expect(await page.locator('h1').textContent()).toBe('Passing thought');
    await page.close();
  });

  test('it opens and measures without a network once a shot list is there', async () => {
    const page = await open();
    await page.getByRole('button', { name: 'A new array' }).click();
    await typeArray(page);
    await page.getByRole('button', { name: /The short evening/ }).click();
    await page.getByText('The page works without a network from now on.').waitFor();
    await context.setOffline(true);
    await page.reload();
    await photoField(page).setInputFiles(shots.slice(0, 2).map(photoOf));
    await page.locator('#figures svg.map').waitFor();
    await context.setOffline(false);
    await page.close();
  });

  test.each([
    ['text in a photo’s clothes', Buffer.from('this is no photo, however it is called'), /not a picture/],
    ['half a photo', null, /cut off/],
  ])('%s is told in a sentence', async (_, bytes, says) => {
    const page = await open();
    await page.getByRole('button', { name: 'A new array' }).click();
    await typeArray(page);
    await page.getByRole('button', { name: /The short evening/ }).click();
    const whole = photos.get(shots[0]!.photo)!;
    await photoField(page).setInputFiles(given('odd.jpg', bytes ?? whole.subarray(0, whole.length / 2)));
    expect(await page.locator('.verdict').first().textContent()).toMatch(says);
    await page.close();
  });
});
