import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type Bench, serveBench } from '@twolamp/page';
import { readResult, type ShotDraft } from '@twolamp/session';
import { unzipSync } from 'fflate';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { clock } from '../bench/page/processor-time.js';
import { BOUNDS, differences } from '../bench/page/two-fronts.js';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';
import {
  barriers,
  behind,
  complaintsOf,
  drop,
  given,
  hasBrowser,
  labelUnderPointer,
  launchBrowser,
  plannedShots,
  settled,
  simulatedPhotos,
  typeArray,
} from './bench-in-browser.js';
import { type StrangerProxy, strangerProxy } from './stranger-proxy.js';

/** A whole journey, on a machine that has other work. */
const JOURNEY_MS = 600_000;
const PHONE = { width: 390, height: 844 };
/** Within this a photo that is spoilt is told to be, from its turn on. */
const TOLD_S = 2;

let bench: Bench;
let proxy: StrangerProxy;
let browser: Browser;
let shots: readonly ShotDraft[];
let photos: Map<string, Buffer>;
let folder: string;

describe.skipIf(!hasBrowser)('the bench in a browser', () => {
  let context: BrowserContext;
  let complaints: string[];

  beforeAll(async () => {
    shots = plannedShots();
    photos = await simulatedPhotos(shots);
    folder = mkdtempSync(join(tmpdir(), 'twolamp-bench-'));
    bench = await serveBench({ port: 0, phone: null });
    proxy = await strangerProxy(bench.address);
    browser = await launchBrowser();
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    proxy?.close();
    await bench?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  beforeEach(async () => {
    context = await browser.newContext({
      ...behind(proxy.address),
      viewport: { width: 1280, height: 900 },
      reducedMotion: 'reduce',
    });
    context.setDefaultTimeout(120_000);
    complaints = complaintsOf(context);
  });
  afterEach(async () => {
    await context.close();
    expect(proxy.strangers).toEqual([]);
    expect(complaints).toEqual([]);
  });

  async function open(): Promise<Page> {
    const page = await context.newPage();
    await page.goto(bench.address);
    return page;
  }

  const photoField = (page: Page) => page.locator('[data-field="Photos"]');
  const photoOf = (shot: ShotDraft) => given(shot.photo, photos.get(shot.photo)!);
  const width = (page: Page) => page.evaluate(() => document.documentElement.scrollWidth);

  /** Pairs in the dip curve. */
  const pairsDrawn = (page: Page) =>
    page.evaluate(() => {
      const plot = document.querySelector('#figures .chart') as unknown as {
        data?: { mode?: string; name?: string; x: unknown[] }[];
      } | null;
      const ofPairs = plot?.data?.filter(({ name }) => name === 'separate' || name === 'not separate') ?? [];
      return ofPairs.reduce((sum, { x }) => sum + x.length, 0);
    });

  /** Saves everything as a zip and unpacks it into the folder. */
  async function unzipInto(page: Page, into: string): Promise<void> {
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save everything as a zip' }).click();
    for (const [path, data] of Object.entries(unzipSync(readFileSync(await (await download).path())))) {
      mkdirSync(dirname(join(into, path)), { recursive: true });
      writeFileSync(join(into, path), data);
    }
  }

  test(
    'on a phone-sized window, from an array typed in to a report whose figures the command line finds too',
    async () => {
      let page = await open();
      await page.setViewportSize(PHONE);
      expect(await barriers(page)).toEqual([]);
      await page.getByRole('button', { name: 'A new array' }).click();
      await page.fill('#field-rows', 'many');
      expect(await page.locator('#field-rows-hint').textContent()).toBe('Give a whole number from 2 to 500.');
      await typeArray(page);
      await page.fill('#field-tubeBore', '5 mm');
      await page.getByText(/doesn’t go together/).waitFor();
      await page.fill('#field-tubeBore', '2.5 mm');
      await page.getByRole('button', { name: /The short evening: \d+ photos/ }).waitFor();
      expect(await barriers(page)).toEqual([]);
      await page.getByRole('button', { name: /The short evening: \d+ photos/ }).click();

      // Photos one after another, in the order in which the bench asks for them; the names tell nothing.
      const cpu = await browser.newBrowserCDPSession();
      const half = 6;
      let pairs = 0;
      for (const [i, shot] of shots.slice(0, half).entries()) {
        if (i === 3) {
          const white = await sharp({ create: { width: 720, height: 580, channels: 3, background: '#fff' } })
            .jpeg()
            .toBuffer();
          await settled(page);
          const since = await clock(cpu);
          await photoField(page).setInputFiles(given('IMG_0999.jpg', white));
          await page.getByText('IMG_0999.jpg: shoot it again.').waitFor();
          expect((await since()).cpuS).toBeLessThan(TOLD_S);
          await page.getByRole('button', { name: 'Shoot it again' }).first().click();
        }
        const name = `IMG_${1000 + i}.jpg`;
        await drop(page, [{ ...photoOf(shot), name }]);
        await page.getByText(new RegExp(`${name}: good`)).waitFor();
        if (shot.kind === 'even') await page.locator('#figures svg.map').waitFor();
        if (shot.kind === 'even') {
          // The map is drawn again as figures come; a pointer that lies still then shows nothing.
          await expect
            .poll(() => labelUnderPointer(page.locator('#figures svg.map')), { timeout: 10_000 })
            .toMatch(/^row \d+, column \d+ · /);
        }
        if (shot.kind === 'pair') {
          pairs++;
          await expect.poll(() => pairsDrawn(page), { timeout: 60_000 }).toBe(pairs);
        }
      }
      await settled(page);
      expect(await width(page)).toBe(PHONE.width);
      expect(await barriers(page)).toEqual([]);
      await page.emulateMedia({ colorScheme: 'dark' });
      expect(await barriers(page)).toEqual([]);
      // On paper the figures stay, the controls go. Motion is reduced in all these tests.
      await page.emulateMedia({ colorScheme: 'light', media: 'print' });
      expect(await page.locator('#figures svg.map').isVisible()).toBe(true);
      expect(await page.getByRole('button').filter({ visible: true }).count()).toBe(0);
      expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
      await page.emulateMedia({ media: 'screen' });

      // The page is closed half-way; nothing is lost.
      const address = page.url();
      await page.close();
      page = await context.newPage();
      await page.setViewportSize(PHONE);
      await page.goto(address);
      await expect.poll(() => pairsDrawn(page), { timeout: 60_000 }).toBe(pairs);
      expect(await page.locator('.tally').allTextContents()).toContain(`${pairs} of 5`);

      // The rest at once: they go to their cards by their names.
      await photoField(page).setInputFiles(shots.slice(half).map(photoOf));
      await page.getByText(/All shots are taken/).waitFor();
      await settled(page);
      await page.getByRole('heading', { name: 'Report' }).waitFor();
      expect(await page.locator('#report li').first().textContent()).toMatch(/stay separate up to/);

      // A photo is taken off its card, and back again.
      const last = page.locator('.group').last();
      await last.locator('summary').click();
      await last.getByRole('button', { name: /^Remove it/ }).click();
      await page.getByRole('button', { name: 'Undo' }).click();
      await settled(page);
      expect(await barriers(page)).toEqual([]);
      expect(await width(page)).toBe(PHONE.width);

      const report = context.waitForEvent('page');
      await page.getByRole('button', { name: 'Open the report' }).click();
      const tab = await report;
      await tab.locator('#dip-chart .main-svg').first().waitFor();
      expect(await tab.title()).toBe('Small reed – bench report');
      await tab.close();

      await unzipInto(page, folder);
      const read = (path: string) => readResult(readFileSync(join(folder, path), 'utf8'), path);
      const there = read('measured/result.json');
      const session = join(folder, 'session.yaml');
      const { code, err } = await twolamp('measure', session, '--out', join(folder, 'by command'));
      expect([code, err]).toEqual([0, expect.stringContaining('stay separate up to')]);
      const found = differences(there, read('by command/result.json'));
      expect(there.photos).toHaveLength(shots.length);
      expect(there.made?.photos).toHaveLength(shots.length);
      expect(found).toMatchObject({ photos: [], faults: 0 });
      expect(found.centrePx).toBeLessThan(BOUNDS.centrePx);
      expect(found.light).toBeLessThan(BOUNDS.light);
      expect(found.resolvingM).toBeLessThan(BOUNDS.resolvingM);
      await page.close();
    },
    JOURNEY_MS,
  );

  test(
    'the keyboard alone leads from an empty page to the report',
    async () => {
      const page = await open();
      /** Goes on by the tabulator to a control by its name, its text or its field's label. */
      const tabTo = async (name: RegExp) => {
        for (let i = 0; i < 60; i++) {
          await page.keyboard.press('Tab');
          const here = await page.evaluate(() => {
            const focused = document.activeElement as HTMLInputElement | null;
            return focused?.labels?.[0]?.textContent ?? focused?.textContent ?? '';
          });
          if (name.test(here)) return;
        }
        throw new Error(`the tabulator doesn’t lead to ${name}`);
      };
      await tabTo(/^A new array$/);
      await page.keyboard.press('Enter');
      await page.getByRole('heading', { name: 'Your array' }).waitFor();
      await tabTo(/^Name$/);
      for (const text of ['Typed reed', null, '8', '10', '120 mm', '2.5 mm', '3 mm', '3.6 mm', 'm']) {
        // An arrangement is left as it is; a letter picks the matte wall.
        if (text !== null) await page.keyboard.type(text);
        await page.keyboard.press('Tab');
      }
      await page.getByRole('button', { name: /The short evening/ }).waitFor();
      await tabTo(/^The short evening/);
      await page.keyboard.press('Enter');
      await page.locator('#shoot-title:focus').waitFor();
      const chooser = page.waitForEvent('filechooser');
      await tabTo(/^Choose the photo$/);
      await page.keyboard.press('Enter');
      const taken = shots.filter(({ kind }) => kind === 'dark' || kind === 'even' || kind === 'pair');
      await (await chooser).setFiles(taken.map(photoOf));
      await page.getByRole('heading', { name: 'Report' }).waitFor();
      await settled(page);
      expect(await page.locator('#report li').first().textContent()).toMatch(/stay separate up to/);
      await tabTo(/^Open the report$/);
      const report = context.waitForEvent('page');
      await page.keyboard.press('Enter');
      const tab = await report;
      await tab.locator('#dip-chart .main-svg').first().waitFor();
      expect(await tab.title()).toBe('Typed reed – bench report');
    },
    JOURNEY_MS,
  );

  test('an array that is half built is drawn or pasted; a packed one has a number of tubes', async () => {
    const page = await open();
    await page.getByRole('button', { name: 'A new array' }).click();
    await typeArray(page);
    await page.getByText('Places without a tube').click();
    await page.locator('[data-place="79"]').click();
    const map = page.locator('#field-map');
    const rows = [...Array<string>(7).fill('#'.repeat(10)), `${'#'.repeat(9)}o`];
    expect(await map.inputValue()).toBe(rows.join('\n'));
    await page.selectOption('#field-unfilled', 'covered');
    await page.getByRole('button', { name: /The short evening/ }).waitFor();
    expect(await barriers(page)).toEqual([]);
    await map.fill('######\n######');
    await page.getByText(/This doesn’t go together: .*8 lines/).waitFor();
    await map.fill('');

    await page.selectOption('#field-arrangement', 'packed');
    expect(await page.locator('#field-rows').count()).toBe(0);
    await page.fill('#field-tubes', '240');
    await page.fill('#field-frontPitch', '');
    await page.getByRole('button', { name: /The short evening/ }).click();
    await page.locator('#shoot-title:focus').waitFor();
    expect(await page.locator('.dimensions').textContent()).toMatch(/^240 tubes/);
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

  test('photos that come in together go to the shots in the order in which they were taken, whatever their names', async () => {
    const page = await open();
    await page.getByRole('button', { name: 'A new array' }).click();
    await typeArray(page);
    await page.getByRole('button', { name: /The short evening/ }).click();
    // A dark shot, two even ones and a pair, in the order of the list; by their names they would be the other way round.
    const taken = shots.slice(0, 4).map(async ({ photo }, n) => {
      const time = { IFD2: { DateTimeOriginal: `2026:03:01 20:0${n}:00` } };
      const dated = sharp(photos.get(photo)!).keepExif().withExifMerge(time).jpeg({ quality: 95 });
      return given(`IMG_${9 - n}.jpg`, await dated.toBuffer());
    });
    await photoField(page).setInputFiles(await Promise.all(taken));
    await page.getByText('IMG_6.jpg: good').waitFor();
    await settled(page);
    expect(await page.locator('.tally').allTextContents()).not.toContain('to be shot again');
    expect(await page.locator('.mark-good').count()).toBe(4);
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

  test('a request for another host would be seen', async () => {
    const page = await context.newPage();
    const before = proxy.passed();
    await page.goto(bench.address);
    expect(proxy.passed()).toBeGreaterThan(before);
    await page.goto('http://elsewhere.invalid/').catch(() => {});
    expect(proxy.strangers.splice(0)).toEqual(['http://elsewhere.invalid/']);
    // The browser itself complains of the refusal, a moment later.
    await expect.poll(() => complaints.splice(0)).toHaveLength(1);
  });
});
