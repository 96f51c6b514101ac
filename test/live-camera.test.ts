import { mkdtempSync, openSync, rmSync, writeSync, closeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Bench, serveBench } from '@twolamp/page';
import { readPlan, simulateSession, type Truth } from '@twolamp/simulate';
import { type Browser, chromium } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { barriers, BROWSER, hasBrowser } from './bench-in-browser.js';

const SIZE = { width: 640, height: 480 };
const DISTANCES_M = [0.8, 1.3, 2, 2.4];
/** How long the lamps stand at each place; long enough for a machine that has other work. */
const STAY_S = 20;
/** The even light is looked at once, at the beginning. */
const EVEN_S = 15;
/** How near the live dip must come to the truth, and the distance that the images tell, as a share. */
const DIP = 0.03;
const DISTANCE = 0.01;

const PLAN = `
format: twolamp-plan/1
seed: 9
array: { name: Walked reed, arrangement: square, rows: 12, columns: 16, tube-length: 100 mm, tube-bore: 2.6 mm,
         back-pitch: 3 mm, front-pitch: 3.4 mm, tube-wall: matte black }
photo: { width: ${SIZE.width}, height: ${SIZE.height}, format: png8 }
camera: { drift-px: 0 }
shots:
  - { kind: even, photo: even.png }
${DISTANCES_M.map((m) => `  - { kind: pair, photo: pair-${m}.png, spacing: 60 mm, distance: ${m} m }`).join('\n')}
`;

/** A frame of YUV4MPEG2, 4:2:0, from a grey picture: video range, luma 16 to 235 (ITU-R BT.601). */
async function frameOf(png: Buffer): Promise<Buffer> {
  const grey = await sharp(png).toColourspace('b-w').raw().toBuffer();
  const luma = Buffer.from(grey.map((code) => Math.round(16 + (219 * code) / 255)));
  const chroma = Buffer.alloc((SIZE.width * SIZE.height) / 2, 128);
  return Buffer.concat([Buffer.from('FRAME\n'), luma, chroma]);
}

describe.skipIf(!hasBrowser)('a camera that sees the lamps carried away', () => {
  let folder: string;
  let bench: Bench;
  let browser: Browser;
  let truth: Truth;

  beforeAll(async () => {
    const photos = new Map<string, Buffer>();
    const simulation = await simulateSession(readPlan(PLAN, 'plan.yaml'), (name, file) => {
      photos.set(name, Buffer.from(file));
    });
    truth = simulation.truth;
    folder = mkdtempSync(join(tmpdir(), 'twolamp-camera-'));
    const film = openSync(join(folder, 'walk.y4m'), 'w');
    writeSync(film, `YUV4MPEG2 W${SIZE.width} H${SIZE.height} F1:1 Ip A1:1 C420mpeg2\n`);
    for (const [name, png] of photos) {
      const frame = await frameOf(png);
      for (let s = 0; s < (name === 'even.png' ? EVEN_S : STAY_S); s++) writeSync(film, frame);
    }
    closeSync(film);
    bench = await serveBench({ port: 0, phone: null });
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: [
        '--no-sandbox',
        '--use-fake-ui-for-media-stream',
        '--use-fake-device-for-media-stream',
        `--use-file-for-fake-video-capture=${join(folder, 'walk.y4m')}`,
      ],
    });
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    await bench?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  test('the dip falls as it does in truth, and the verdict changes between the right places', async () => {
    const context = await browser.newContext();
    context.setDefaultTimeout(120_000);
    const page = await context.newPage();
    await page.goto(bench.address);
    await page.getByRole('button', { name: 'A new array' }).click();
    const fields = {
      name: 'Walked reed',
      rows: '12',
      columns: '16',
      tubeLength: '100 mm',
      tubeBore: '2.6 mm',
      backPitch: '3 mm',
      frontPitch: '3.4 mm',
    };
    for (const [key, value] of Object.entries(fields)) await page.fill(`#field-${key}`, value);
    await page.getByRole('button', { name: /The short evening/ }).click();
    await page.getByText('A camera on this device').click();
    await page.getByRole('button', { name: 'Start the camera' }).click();
    await page.getByRole('button', { name: 'This is the even light' }).click();
    await page.getByText('192 tubes found').waitFor();
    await page.fill('#live-distance', '0.8 m');
    // The film goes on by itself: the lamps are on after EVEN_S.
    await expect
      .poll(
        async () => {
          const button = page.getByRole('button', { name: 'The lamps stand there' });
          if ((await button.count()) > 0) await button.click();
          await page.waitForTimeout(1000);
          return page.locator('.reading').count();
        },
        { timeout: 60_000 },
      )
      .toBe(1);
    for (const distanceM of DISTANCES_M) {
      const there = async () => {
        const text = (await page.locator('.reading').textContent()) ?? '';
        const [, dip, verdict, metres] = /Dip ([\d.]+): (.*), at about ([\d.]+) m/.exec(text) ?? [];
        return {
          dip: Number(dip),
          separate: verdict === 'separate',
          near: Math.abs(Number(metres) / distanceM - 1),
        };
      };
      await expect.poll(async () => (await there()).near, { timeout: 120_000 }).toBeLessThan(DISTANCE);
      const { dip, separate } = await there();
      const right = truth.pairs.find((pair) => pair.distanceM === distanceM)!.dip;
      expect(Math.abs(dip - right)).toBeLessThan(DIP);
      expect(separate).toBe(right >= 0.265);
    }
    expect(await barriers(page)).toEqual([]);
    await context.close();
  }, 600_000);
});
