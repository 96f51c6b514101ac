/**
 * How long the page takes from a photo's arrival to what it tells, and how much it loads before.
 *
 * Twelve-megapixel photos of 24 × 30 tubes, in the system's Chromium. Besides the time that passes, the processor time of
 * the page's process is given: on a machine that has other work only the latter says something of the page.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { serveBench } from '@twolamp/page';
import { readPlan, simulateSession } from '@twolamp/simulate';
import { chromium, type Page } from 'playwright-core';
import { clock, type Timed } from './processor-time.js';

const BROWSER = '/usr/bin/chromium';
const SITE = fileURLToPath(new URL('../../../packages/page/dist/site', import.meta.url));
const ROUNDS = 3;
const PLAN = `
format: twolamp-plan/1
seed: 5
array: { name: Timed panel, arrangement: square, rows: 24, columns: 30, tube-length: 150 mm, tube-bore: 2.6 mm,
         back-pitch: 3 mm, front-pitch: 3.8 mm, tube-wall: matte black }
photo: { width: 4000, height: 3000 }
shots:
  - { kind: even, photo: even-01.jpg }
  - { kind: pair, photo: pair-01.jpg, spacing: 60 mm, distance: 550 mm }
`;
const FORM = {
  name: 'Timed panel',
  rows: '24',
  columns: '30',
  tubeLength: '150 mm',
  tubeBore: '2.6 mm',
  backPitch: '3 mm',
  frontPitch: '3.8 mm',
};

const folder = mkdtempSync(join(tmpdir(), 'twolamp-page-'));
await simulateSession(readPlan(PLAN, 'plan.yaml'), (name, file) => writeFileSync(join(folder, name), file));

/** As a file of this machine, which the browser reads itself: handed over as bytes, it would take longer than anything else. */
async function give(page: Page, name: string): Promise<void> {
  await page.locator('[data-field="Photos"]').setInputFiles(join(folder, name));
}

/** Waits until one of some elements holds a text; asked at every frame, where a locator asks twice a second. */
function shown(page: Page, selector: string, text: string): Promise<unknown> {
  return page.waitForFunction(
    ([which, holds]) =>
      [...document.querySelectorAll(which!)].some((one) => new RegExp(holds!).test(one.textContent ?? '')),
    [selector, text],
    { polling: 'raf' },
  );
}

// What is fetched before the first photo: as a web space with gzip sends it.
const bench = await serveBench({ port: 0, phone: null });
const browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
const session = await browser.newBrowserCDPSession();
const text = ({ passedS, cpuS: cpu }: Timed) => `${passedS.toFixed(2)} s (processor ${cpu.toFixed(2)} s)`;

const weigh = await browser.newPage({ serviceWorkers: 'block' });
const fetched = new Set<string>();
weigh.on('request', (request) => fetched.add(new URL(request.url()).pathname.slice(1) || 'index.html'));
await weigh.goto(bench.address);
await weigh.getByRole('button', { name: 'A new array' }).click();
for (const [key, value] of Object.entries(FORM)) await weigh.fill(`#field-${key}`, value);
await weigh.getByRole('button', { name: /The short evening/ }).waitFor();
const files = [...fetched].filter((name) => name === 'index.html' || name.startsWith('assets/'));
const bytes = files.reduce((sum, name) => sum + gzipSync(readFileSync(join(SITE, name))).length, 0);
const all = readdirSync(join(SITE, 'assets')).reduce(
  (sum, name) => sum + gzipSync(readFileSync(join(SITE, 'assets', name))).length,
  0,
);
await weigh.close();
console.log(
  `before the first photo: ${files.length} files, ${Math.round(bytes / 1000)} kB compressed (gzip)`,
);
console.log(`everything, for use without a network: ${Math.round(all / 1000)} kB`);

for (let round = 1; round <= ROUNDS; round++) {
  const context = await browser.newContext();
  context.setDefaultTimeout(300_000);
  const page = await context.newPage();
  await page.goto(bench.address);
  await page.getByRole('button', { name: 'A new array' }).click();
  for (const [key, value] of Object.entries(FORM)) await page.fill(`#field-${key}`, value);
  await page.getByRole('button', { name: /The short evening/ }).click();
  await page.getByText('The page works without a network from now on.').waitFor();
  const sinceEven = await clock(session);
  await give(page, 'even-01.jpg');
  await shown(page, '.first-look canvas', '');
  const look = await sinceEven();
  await shown(page, '#figures svg.map', '');
  const map = await sinceEven();
  await page.waitForFunction(() => document.body.dataset.busy === 'no');
  const sincePair = await clock(session);
  await give(page, 'pair-01.jpg');
  await shown(page, '.verdict', 'Dip \\d');
  const dip = await sincePair();
  const load = loadavg()[0]!.toFixed(1);
  console.log(
    `round ${round}, load ${load}: first look ${text(look)}, map of the tubes ${text(map)}, dip of a pair ${text(dip)}`,
  );
  await context.close();
}
await browser.close();
await bench.close();
rmSync(folder, { recursive: true });
