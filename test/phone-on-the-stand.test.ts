import { type Bench, serveBench } from '@twolamp/page';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  barriers,
  behind,
  complaintsOf,
  given,
  hasBrowser,
  launchBrowser,
  plannedShots,
  simulatedPhotos,
  typeArray,
} from './bench-in-browser.js';
import { type StrangerProxy, strangerProxy } from './stranger-proxy.js';

describe.skipIf(!hasBrowser)('a phone that sends its photos to the bench', () => {
  const shots = plannedShots().filter(({ photo }) => ['dark-01.jpg', 'even-01.jpg'].includes(photo));
  let bench: Bench;
  let proxy: StrangerProxy;
  let browser: Browser;
  let laptop: BrowserContext;
  let phone: BrowserContext;
  let photos: Map<string, Buffer>;

  beforeAll(async () => {
    photos = await simulatedPhotos(shots);
    bench = await serveBench({ port: 0, phone: '127.0.0.1' });
    proxy = await strangerProxy(bench.address, bench.phone!);
    browser = await launchBrowser();
    laptop = await browser.newContext(behind(proxy.address));
    phone = await browser.newContext({
      ...behind(proxy.address),
      viewport: { width: 390, height: 800 },
      hasTouch: true,
    });
    for (const context of [laptop, phone]) context.setDefaultTimeout(120_000);
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    proxy?.close();
    await bench?.close();
  });

  const send = (page: Page, name: string, photo: Buffer) =>
    page.getByLabel('Photo', { exact: true }).setInputFiles(given(name, photo));

  test('each photo gets its verdict on both; what is no use harms neither page', async () => {
    const atLaptop = complaintsOf(laptop);
    const atPhone = complaintsOf(phone);
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

    expect(await barriers(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
    expect(proxy.strangers).toEqual([]);
    expect(atLaptop).toEqual([]);
    // The browser itself notes every answer that is no success.
    expect(atPhone.filter((text) => !/status of 415/.test(text))).toEqual([]);
  }, 240_000);
});
