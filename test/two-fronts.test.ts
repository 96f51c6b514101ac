import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Bench, serveBench } from '@twolamp/page';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { measureFolder } from '../bench/accuracy/run-session.js';
import { hasHeic, inOtherFormats } from '../bench/page/other-formats.js';
import { BOUNDS, differences, measureInPage } from '../bench/page/two-fronts.js';
import { BROWSER, hasBrowser, plannedShots, sessionOfShots, simulatedPhotos } from './bench-in-browser.js';

const SHOTS = [
  'dark-01',
  'even-01',
  'even-02',
  'pair-01',
  'pair-02',
  'pair-03',
  'lamp-02',
  'lamp-05',
  'bare-01',
];
const heic = hasHeic() ? 'heic' : null;
const FORMATS = [null, 'png16', 'turned', heic, 'turned', 'png16', null, heic, 'turned'] as const;

describe.skipIf(!hasBrowser)('the page and the command line', () => {
  let folder: string;
  let bench: Bench;
  let browser: Browser;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'twolamp-fronts-'));
    const shots = plannedShots().filter(({ photo }) => SHOTS.includes(photo.replace('.jpg', '')));
    const photos = await simulatedPhotos(shots);
    for (const [name, photo] of photos) writeFileSync(join(folder, name), photo);
    writeFileSync(join(folder, 'session.yaml'), sessionOfShots(shots));
    bench = await serveBench({ port: 0, phone: null });
    browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    await bench?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  test(`find the same figures in JPEG, turned JPEG, 16-bit PNG${heic ? ' and HEIC' : ''}`, async () => {
    const mixed = join(folder, 'mixed');
    await inOtherFormats(folder, mixed, (n) => FORMATS[n]!);
    const here = (await measureFolder(mixed)).result;
    const found = differences(await measureInPage(browser, bench.address, mixed), here);
    expect(here.resolving).not.toBeNull();
    expect(found).toMatchObject({ photos: [], faults: 0 });
    expect(found.centrePx).toBeLessThan(BOUNDS.centrePx);
    expect(found.light).toBeLessThan(BOUNDS.light);
    expect(found.resolvingM).toBeLessThan(BOUNDS.resolvingM);
  }, 600_000);
});
