/**
 * A whole session in a phone-sized window, photo by photo, as a person shoots it: its session.yaml opened without photos,
 * then the photos in shooting order under names that tell nothing, one that is spoilt among them, and the page closed
 * half-way. The figures are held against the command line's.
 *
 *   node bench/dist/page/journey.js FOLDER
 */
import { mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { extname, join, resolve } from 'node:path';
import { serveBench } from '@twolamp/page';
import { readSession } from '@twolamp/session';
import { chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { measureFolder } from '../accuracy/run-session.js';
import { clock } from './processor-time.js';
import { BOUNDS, differences, keepFolderPicks, resultSavedBy } from './two-fronts.js';

const PHONE = { width: 390, height: 844 };
const PATIENCE_MS = 600_000;

const folder = process.argv[2];
if (folder === undefined) throw new RangeError('give the folder of a session');
const { shots } = readSession(readFileSync(join(folder, 'session.yaml'), 'utf8'), 'session.yaml');
const neutral = mkdtempSync(join(tmpdir(), 'twolamp-journey-'));
const bench = await serveBench({ port: 0, phone: null });
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
const cpu = await browser.newBrowserCDPSession();
const context = await browser.newContext({ viewport: PHONE });
context.setDefaultTimeout(PATIENCE_MS);

async function open(address: string): Promise<Page> {
  const page = await context.newPage();
  await keepFolderPicks(page);
  await page.goto(address);
  return page;
}

/** Gives a photo and waits for what is told of it; how long that took. */
async function give(page: Page, file: string, name: string, told: RegExp) {
  const since = await clock(cpu);
  await page.locator('[data-field="Photos"]').setInputFiles(file);
  await page.getByText(new RegExp(`^${name}: ${told.source}`)).waitFor();
  return since();
}

const settled = (page: Page) => page.waitForFunction(() => document.body.dataset.busy === 'no');

let page = await open(bench.address);
await page.locator('[data-field="Session zip"]').setInputFiles(join(folder, 'session.yaml'));
const verdicts: number[] = [];
let spoilt = '';
for (const [n, shot] of shots.entries()) {
  if (n === Math.floor(shots.length / 2)) {
    await settled(page);
    const address = page.url();
    const before = await page.locator('.tally').allTextContents();
    await page.close();
    page = await open(address);
    await settled(page);
    const after = await page.locator('.tally').allTextContents();
    console.log(
      `closed and opened after ${n} photos: ${before.join('; ') === after.join('; ') ? 'nothing lost' : 'LOST'}`,
    );
    const white = join(neutral, 'IMG_white.jpg');
    const { width, height } = await sharp(join(folder, shot.photo)).metadata();
    await sharp({ create: { width: width!, height: height!, channels: 3, background: '#fff' } })
      .jpeg()
      .toFile(white);
    const { passedS, cpuS } = await give(page, white, 'IMG_white.jpg', /shoot it again/);
    spoilt = `${passedS.toFixed(1)} s (processor ${cpuS.toFixed(1)} s)`;
    await page.getByRole('button', { name: 'Shoot it again' }).first().click();
  }
  const name = `IMG_${1000 + n}${extname(shot.photo)}`;
  symlinkSync(resolve(folder, shot.photo), join(neutral, name));
  verdicts.push((await give(page, join(neutral, name), name, /good|doubtful/)).cpuS);
}
await page.getByText(/All shots are taken/).waitFor();
await settled(page);
const wide = await page.evaluate(() => document.documentElement.scrollWidth);
const tab = context.waitForEvent('page');
await page.getByRole('button', { name: 'Open the report' }).click();
await (await tab).locator('#dip-chart .main-svg').first().waitFor();
console.log(`report: ${await (await tab).title()}; width of the page ${wide} px`);
const found = differences(await resultSavedBy(page), (await measureFolder(folder)).result);
// Photos go by the names of their cards, which a session's own names are.
console.log(`${shots.length} photos; the spoilt one told after ${spoilt}`);
verdicts.sort((a, b) => a - b);
const at = (share: number) => verdicts[Math.floor(share * (verdicts.length - 1))]!.toFixed(1);
console.log(
  `processor time of the page until a photo's verdict: median ${at(0.5)} s, 95 % within ${at(0.95)} s`,
);
console.log(`against the command line: ${JSON.stringify(found)}; bounds ${JSON.stringify(BOUNDS)}`);
await browser.close();
await bench.close();
rmSync(neutral, { recursive: true });
