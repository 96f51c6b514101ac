import { type Bench, serveBench } from '@twolamp/page';
import axe from 'axe-core';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  BROWSER,
  given,
  hasBrowser,
  plannedShots,
  simulatedPhotos,
  typeArray,
  watch,
} from './bench-in-browser.js';

describe.skipIf(!hasBrowser)('a phone that sends its photos to the bench', () => {
  const shots = plannedShots().filter(({ photo }) => ['dark-01.jpg', 'even-01.jpg'].includes(photo));
  let bench: Bench;
  let browser: Browser;
  let laptop: BrowserContext;
  let phone: BrowserContext;
  let photos: Map<string, Buffer>;

  beforeAll(async () => {
    photos = await simulatedPhotos(shots);
    bench = await serveBench({ port: 0, phone: '127.0.0.1' });
    browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
    laptop = await browser.newContext();
    phone = await browser.newContext({ viewport: { width: 390, height: 800 }, hasTouch: true });
    for (const context of [laptop, phone]) context.setDefaultTimeout(120_000);
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    await bench?.close();
  });

  const send = (page: Page, name: string, photo: Buffer) =>
    page.getByLabel('Photo', { exact: true }).setInputFiles(given(name, photo));

  test('each photo gets its verdict on both; what is no use harms neither page', async () => {
    const atLaptop = await watch(laptop, bench.address);
    const atPhone = await watch(phone, new URL(bench.phone!).origin);
    const desk = await laptop.newPage();
    await desk.goto(bench.address);
    await desk.getByRole('button', { name: 'A new array' }).click();
    await typeArray(desk);
    await desk.getByRole('button', { name: /The short evening/ }).click();
    await desk.getByText('The phone on the stand').click();
    expect(await desk.locator('.address').textContent()).toBe(bench.phone);

    const page = await phone.newPage();
    await page.goto(bench.phone!);
    await send(page, 'IMG_1.jpg', photos.get('dark-01.jpg')!);
    await page.getByText('Good.').waitFor();
    expect(await page.locator('.next').textContent()).toMatch(/^Next: .*even/i);
    await send(page, 'IMG_2.jpg', photos.get('even-01.jpg')!);
    await desk.getByText(/phone-2.jpg: good/).waitFor();

    await page.getByText('Good.').waitFor();
    await send(page, 'notes.jpg', Buffer.from('no photo, whatever it is called, but long enough'));
    await page.getByText(/This is no photo that can be read/).waitFor();
    const other = await sharp(photos.get('even-01.jpg')).resize(1440).withMetadata().jpeg().toBuffer();
    await send(page, 'IMG_3.jpg', other);
    await page.getByText('Shoot it again.').waitFor();
    await page.getByText(/1440 × 1160 pixels, even-01.jpg has 720 × 580/).waitFor();
    await desk.locator('#figures svg.map').waitFor();

    await page.evaluate(axe.source);
    const { violations } = await page.evaluate(() => (window as unknown as { axe: typeof axe }).axe.run());
    expect(violations.map(({ id }) => id)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    expect([...atLaptop.strangers, ...atPhone.strangers]).toEqual([]);
    expect(atLaptop.complaints).toEqual([]);
    // The browser itself notes every answer that is no success.
    expect(atPhone.complaints.filter((text) => !/status of 415/.test(text))).toEqual([]);
  }, 240_000);
});
