import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { readPhoto } from '@twolamp/photos';
import type { Result } from '@twolamp/session';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, test } from 'vitest';
import { encoded } from '../../bench/fuzz/mutate-photo.js';
import { bases, expectRefused, folder, measure, putSession, useTinySession } from './tiny-session.js';

useTinySession();

describe('photos that ended as a fault of ours', () => {
  /** A sheet with spots 3 pixels apart. */
  const fineSpots = () => {
    const data = Buffer.alloc(64 * 48, 4);
    for (let y = 15; y < 33; y += 3) for (let x = 20; x < 44; x += 3) data[y * 64 + x] = 220;
    return sharp(data, { raw: { width: 64, height: 48, channels: 1 } })
      .png()
      .toBuffer();
  };
  const even = () => bases.photo('even-1.png');
  const damaged = async (encoding: string) => {
    const bytes = await encoded(await even(), encoding);
    const from = Math.floor(bytes.length / 3);
    bytes.fill(0, from, from + 60);
    return bytes;
  };

  test.each<[string, string, () => Promise<Buffer>]>([
    ['a 1-bit PNG', 'even-1.png', async () => encoded(await even(), '1-bit png')],
    ['a 1-bit TIFF', 'even-1.png', async () => encoded(await even(), '1-bit tiff')],
    ['a damaged tiled TIFF', 'even-1.png', () => damaged('tiled tiff')],
    ['a damaged WebP', 'even-1.png', () => damaged('webp')],
    ['spots 3 pixels apart', 'even-1.png', fineSpots],
  ])('%s is refused by name', async (_, name, make) => {
    await putSession('even');
    await writeFile(join(folder, name), await make());
    await expectRefused(measure(), /even-1.png: /);
  });

  test('an even shot that one lamp lit is refused by name', async () => {
    await putSession('even');
    const light = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="128" height="104"><radialGradient id="a" r="55%">' +
        '<stop offset="0" stop-color="#fff"/><stop offset="1" stop-color="#111"/></radialGradient>' +
        '<rect width="128" height="104" fill="url(#a)"/></svg>',
    );
    const lit = await sharp(await even())
      .composite([{ input: light, blend: 'multiply' }])
      .png()
      .toBuffer();
    await writeFile(join(folder, 'even-1.png'), lit);
    await expectRefused(measure(), /even-1.png: its light falls off to \S+ % across the array/);
  });

  const elsewhere = (photo: Sharp) =>
    photo.extract({ left: 7, top: 5, width: 121, height: 99 }).extend({ right: 7, bottom: 5 });
  const mostlyDark = (photo: Sharp) =>
    photo.composite([
      { input: { create: { width: 104, height: 104, channels: 3, background: '#000' } }, left: 0, top: 0 },
    ]);
  test.each([
    ['from elsewhere', elsewhere],
    ['with few tubes lit', mostlyDark],
  ])('a second even shot %s is refused or left out, by name', async (_, change) => {
    await putSession('even');
    const moved = await change(sharp(await even()))
      .png()
      .toBuffer();
    await writeFile(join(folder, 'even-2.png'), moved);
    const { code, err } = await measure();
    const says = code === 1 ? err : await readFile(join(folder, 'out', 'result.json'), 'utf8');
    expect(says).toContain('even-2.png');
    expect(code).not.toBe(70);
  });
});

describe('what no decoder can see', () => {
  const rightTubes = ({ cells }: { cells: { fault: string }[] }) => cells.map(({ fault }) => fault);

  test.each(['tiff', 'tiled plain tiff'])(
    'rows that are lost in a %s show where its repeat disagrees, and make no tube faulty',
    async (encoding) => {
      await putSession('even');
      await measure();
      const right = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
      const bytes = await encoded(await bases.photo('even-2.png'), encoding);
      const from = Math.floor(0.45 * bytes.length);
      bytes.fill(0, from, from + Math.floor(0.04 * bytes.length));
      await writeFile(join(folder, 'even-2.png'), bytes);
      await measure();
      const result = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
      expect(result.findings).toContainEqual(
        expect.objectContaining({
          code: 'repeats-disagree',
          about: 'even-2.png',
          values: expect.objectContaining({ against: 'even-1.png' }),
        }),
      );
      expect(rightTubes(result)).toEqual(rightTubes(right));
    },
  );
});

describe('one changed byte of a plain TIFF', () => {
  test('makes no tube faulty, and moves no transmission by its uncertainty', async () => {
    const file = join(bases.folder, 'even-2.png');
    const exposed = await readPhoto(file, { tone: 'srgb', channel: 'luminance' });
    const stated = `exposure: ${exposed.exposureS} s, iso: ${exposed.iso}, aperture: ${exposed.aperture}`;
    await putSession('even', [[/photo: even-2.png, kind: even/, `$&, ${stated}`]]);
    const whole = await sharp(file).tiff({ compression: 'none' }).toBuffer();
    const measured = async (bytes: Buffer): Promise<Result> => {
      await writeFile(join(folder, 'even-2.png'), bytes);
      await measure();
      return JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
    };
    const right = await measured(whole);
    for (const share of [0.38, 0.44, 0.5, 0.53, 0.62]) {
      const bytes = Buffer.from(whole);
      bytes[Math.floor(share * bytes.length)]! ^= 0x80;
      const { cells } = await measured(bytes);
      expect(cells.map(({ fault }) => fault)).toEqual(right.cells.map(({ fault }) => fault));
      const moved = cells.map(({ transmission: now }, k) => {
        const was = right.cells[k]!.transmission;
        return Math.abs(now.relative! - was.relative!) / was.relativeUncertainty!;
      });
      expect(Math.max(...moved)).toBeLessThan(1);
    }
  });
});
