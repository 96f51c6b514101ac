import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readPhoto } from '@twolamp/photos';
import type * as Photos from '@twolamp/photos/browser';
import { type Browser, chromium, type Page } from 'playwright-core';
import type { Sharp } from 'sharp';
import { build, defaultClientConditions } from 'vite';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  colourPicture,
  EXIF,
  greyPicture,
  QUARTERS_HEIC,
  QUARTERS_TURNED_HEIC,
  quarters,
  scatteredCodes,
} from '../packages/photos/src/fixtures/pictures.js';
import { powerProfile } from '../packages/photos/src/fixtures/power-profile.js';
import { tinyTiff } from '../packages/photos/src/fixtures/tiny-tiff.js';
import { BROWSER, hasBrowser } from './bench-in-browser.js';

/** Lossy formats leave rounding to the decoder: most codes are alike, none is more than this off. */
const CODES = 3;
const PIXELS = 40 * 36;
/** Lends the module to what the tests run on the page. */
const PAGE =
  '<!doctype html><title>photos</title><script type="module">import * as photos from "/photos.js"; window.photos = photos;</script>';

interface Read {
  readonly width: number;
  readonly height: number;
  readonly light: number[];
  readonly clipped: number[];
  readonly clippedPixels: number;
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
}

describe.skipIf(!hasBrowser)('photos in the browser and in Node', () => {
  let folder: string;
  let server: Server;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'twolamp-photos-'));
    await build({
      configFile: false,
      logLevel: 'error',
      resolve: { conditions: ['twolamp-source', ...defaultClientConditions] },
      build: {
        outDir: folder,
        lib: {
          entry: fileURLToPath(new URL('../packages/photos/src/browser/index.ts', import.meta.url)),
          formats: ['es'],
          fileName: () => 'photos.js',
        },
      },
    });
    server = createServer((request, response) => {
      const name = request.url!.slice(1);
      const script = name.endsWith('.js');
      response.setHeader('content-type', script ? 'text/javascript' : 'text/html');
      response.end(script ? readFileSync(join(folder, name)) : PAGE);
    }).listen(0, '127.0.0.1');
    browser = await chromium.launch({ executablePath: BROWSER, args: ['--no-sandbox'] });
    page = await browser.newPage();
    await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
    await page.waitForFunction(() => 'photos' in window);
  }, 240_000);
  afterAll(async () => {
    await browser?.close();
    server?.close();
    if (folder) rmSync(folder, { recursive: true });
  });

  type Tone = 'linear' | 'srgb';

  async function inBrowser(bytes: Buffer, tone: Tone = 'linear'): Promise<Read> {
    return page.evaluate(
      async ({ base64, tone }) => {
        const { readCodes, lightOfCodes } = (window as unknown as { photos: typeof Photos }).photos;
        const blob = new Blob([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))]);
        const { reduced, clippedPixels, ...photo } = lightOfCodes(
          await readCodes({ name: 'photo', blob }),
          tone,
          'green',
          'photo',
        );
        const { data, clipped } = reduced(1);
        return {
          ...photo,
          clippedPixels,
          light: [...data],
          clipped: [...(clipped ?? new Float32Array(data.length))],
        };
      },
      { base64: bytes.toString('base64'), tone },
    );
  }

  async function inNode(bytes: Buffer, tone: Tone = 'linear'): Promise<Read> {
    const file = join(folder, 'photo');
    writeFileSync(file, bytes);
    const photo = await readPhoto(file, { tone, channel: 'green' });
    const clippedPixels = photo.clipped.reduce((sum, one) => sum + one, 0);
    return { ...photo, clippedPixels, light: [...photo.light], clipped: [...photo.clipped] };
  }

  const turned = (orientation: number) => quarters().withMetadata({ orientation });
  const heic = (file: string) => async () => readFileSync(file);

  test.each<[string, () => Promise<Buffer> | Buffer]>([
    [
      'PNG, 8 bits',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .png()
          .toBuffer(),
    ],
    ['PNG, 8 bits, grey', () => greyPicture(scatteredCodes(PIXELS, 256), 8).png().toBuffer()],
    [
      'PNG, 16 bits',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 65536), 16)
          .png()
          .toBuffer(),
    ],
    ['PNG, 16 bits, grey', () => greyPicture(scatteredCodes(PIXELS, 65536), 16).png().toBuffer()],
    [
      'PNG with another profile',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .withIccProfile('p3')
          .png()
          .toBuffer(),
    ],
    [
      'TIFF, 8 bits',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .tiff({ compression: 'lzw' })
          .toBuffer(),
    ],
    [
      'TIFF, 16 bits',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 65536), 16)
          .tiff({ compression: 'deflate' })
          .toBuffer(),
    ],
    [
      'TIFF, 16 bits, grey',
      () => greyPicture(scatteredCodes(PIXELS, 65536), 16).tiff({ compression: 'none' }).toBuffer(),
    ],
    [
      'WebP, lossless',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .webp({ lossless: true })
          .toBuffer(),
    ],
    ...[2, 3, 4, 5, 6, 7, 8].map((orientation): [string, () => Promise<Buffer>] => [
      `PNG, orientation ${orientation}`,
      () => turned(orientation).png().toBuffer(),
    ]),
    ['WebP, turned', () => turned(6).webp({ lossless: true }).toBuffer()],
    ['TIFF, turned', () => turned(8).tiff({ compression: 'lzw' }).toBuffer()],
  ])('%s: every code alike', async (_, make) => {
    const bytes = await make();
    expect(await inBrowser(bytes)).toEqual(await inNode(bytes));
  });

  // A profile whose curve is far from sRGB's: light = code to the power 1.8 (ICC.1:2022, 10.6).
  const withPower = (picture: Sharp) => picture.withIccProfile(join(folder, 'power.icc'));
  const colours = () => colourPicture(scatteredCodes(PIXELS * 3, 256), 8);

  test.each<[string, number, () => Promise<Buffer>]>([
    ['PNG', 0, () => withPower(colours()).png().toBuffer()],
    ['TIFF', 0, () => withPower(colours()).tiff({ compression: 'lzw' }).toBuffer()],
    ['WebP', 0, () => withPower(colours()).webp({ lossless: true }).toBuffer()],
    ['JPEG', CODES, () => withPower(colours()).jpeg({ quality: 95 }).toBuffer()],
    ['AVIF', CODES, () => withPower(quarters()).avif({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer()],
  ])('%s with a tone curve of its own: the same light, which is not sRGB’s', async (_, codes, make) => {
    writeFileSync(join(folder, 'power.icc'), powerProfile(1.8));
    const bytes = await make();
    const [there, here, linear] = await Promise.all([
      inBrowser(bytes, 'srgb'),
      inNode(bytes, 'srgb'),
      inNode(bytes),
    ]);
    const off = here.light.map((light, i) => Math.abs(light - there.light[i]!) * 255);
    expect(Math.max(...off)).toBeLessThanOrEqual(1.8 * codes); // the curve is steepest at the top
    const powers = linear.light.map((code, i) => Math.abs(code ** 1.8 - here.light[i]!));
    expect(Math.max(...powers)).toBeLessThan(0.003); // the profile states the power in 256ths
  });

  test.each<[string, () => Promise<Buffer>]>([
    ['JPEG', () => quarters().withExif(EXIF).jpeg({ quality: 90 }).toBuffer()],
    [
      'JPEG of noise',
      () =>
        colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .jpeg({ quality: 92 })
          .toBuffer(),
    ],
    ['JPEG, grey', () => greyPicture(scatteredCodes(PIXELS, 256), 8).jpeg().toBuffer()],
    ['JPEG, progressive', () => quarters().jpeg({ progressive: true }).toBuffer()],
    ['JPEG with another profile', () => quarters().withIccProfile('p3').jpeg({ quality: 95 }).toBuffer()],
    ['JPEG, turned', () => turned(6).jpeg({ quality: 95 }).toBuffer()],
    ['JPEG, mirrored', () => turned(5).jpeg({ quality: 95 }).toBuffer()],
    ['WebP', () => quarters().withExif(EXIF).webp({ quality: 90 }).toBuffer()],
    ['AVIF', () => quarters().withExif(EXIF).avif({ quality: 90, chromaSubsampling: '4:4:4' }).toBuffer()],
    ['HEIC', heic(QUARTERS_HEIC)],
    ['HEIC, turned', heic(QUARTERS_TURNED_HEIC)],
  ])('%s: nearly alike', async (_, make) => {
    const bytes = await make();
    const [
      { light: there, clipped: _there, clippedPixels: _top, ...thereFacts },
      { light: here, clipped: _here, clippedPixels: _tops, ...hereFacts },
    ] = await Promise.all([inBrowser(bytes), inNode(bytes)]);
    expect(thereFacts).toEqual(hereFacts);
    const off = here.map((value, i) => Math.abs(value - there[i]!) * 255);
    expect(Math.max(...off)).toBeLessThanOrEqual(CODES);
    expect(off.reduce((sum, value) => sum + value, 0) / off.length).toBeLessThan(0.5);
  });

  test.each<[string, () => Promise<Buffer> | Buffer, RegExp]>([
    ['nothing', () => Buffer.alloc(0), /the file is empty/],
    [
      'text',
      () => Buffer.from('not a picture at all, whatever it is called'),
      /not a picture of a readable type/,
    ],
    ['a small icon', () => quarters().resize(20).png().toBuffer(), /20 × 15 pixels; expected at least 32/],
    ['a transparent one', () => quarters().ensureAlpha(0.5).png().toBuffer(), /are transparent/],
    [
      'half a JPEG',
      async () => {
        const whole = await colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
          .jpeg()
          .toBuffer();
        return whole.subarray(0, whole.length / 2);
      },
      /cut off/,
    ],
    [
      'floating point',
      () =>
        tinyTiff({ width: 40, height: 36, bits: 32, sampleFormat: 3, pixels: new Uint8Array(PIXELS * 4) }),
      /expected 8 or 16 bits/,
    ],
  ])('%s is refused with the same words', async (_, make, says) => {
    const bytes = await make();
    await expect(inBrowser(bytes)).rejects.toThrow(says);
    await expect(inNode(bytes)).rejects.toThrow(/expected/);
  });
});
