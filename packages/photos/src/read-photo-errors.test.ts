import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '@twolamp/session';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { colourPicture, greyPicture, QUARTERS_HEIC, quarters, scatteredCodes } from './fixtures/pictures.js';
import { tempFolder } from './fixtures/temp-folder.js';
import { type TiffField, tinyTiff } from './fixtures/tiny-tiff.js';
import { readPhoto, readPhotoHead } from './read-photo.js';

const folder = tempFolder();
const PIXELS = 40 * 36;

function refusal(path: string): Promise<unknown> {
  return readPhoto(path, { tone: 'srgb', channel: 'luminance' }).then(
    () => 'was read',
    (error: unknown) => error,
  );
}

async function expectRefused(path: string, found: RegExp): Promise<void> {
  const error = await refusal(path);
  expect(error).toBeInstanceOf(InputError);
  expect((error as InputError).where).toBe(path);
  expect((error as InputError).message).toMatch(found);
}

/** Grey, 40 × 36, with a field of the first directory more. */
function greyTiff(field: TiffField): Buffer {
  return tinyTiff({ width: 40, height: 36, bits: 8, fields: [field], pixels: new Uint8Array(PIXELS) });
}

describe('no picture', () => {
  test('a missing file', () =>
    expectRefused(join(folder.path, 'nowhere.jpg'), /there is no such file; expected a JPEG/));
  test('a folder', () => expectRefused(folder.path, /this is a folder/));
  test('a path through a file', () =>
    expectRefused(join(folder.write('file.txt', Buffer.from('x')), 'a.jpg'), /there is no such file/));

  test.each([
    { what: 'an empty file', bytes: Buffer.alloc(0), found: /the file is empty \(0 bytes\)/ },
    { what: 'a few bytes', bytes: Buffer.from([0xff, 0xd8]), found: /not a picture of a readable type/ },
    {
      what: 'text that calls itself JPEG',
      bytes: Buffer.from('format: twolamp-session/1\n'.repeat(9)),
      found: /not a picture/,
    },
    {
      what: 'a JPEG signature and rubbish',
      bytes: Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(500, 7)]),
      found: /damaged or cut off/,
    },
    {
      what: 'a HEIC signature and rubbish',
      bytes: Buffer.concat([
        Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'),
        Buffer.alloc(500, 0),
      ]),
      found: /damaged or cut off/,
    },
  ])('$what', async ({ what, bytes, found }) => {
    await expectRefused(folder.write(`${what}.jpg`, bytes), found);
  });

  test('a GIF', async () => {
    await expectRefused(
      folder.write('a.gif', await quarters().gif().toBuffer()),
      /not a picture of a readable type/,
    );
  });
});

describe('cut off', () => {
  const noise = scatteredCodes(PIXELS * 3, 256); // hard to compress, so that most of the file is pixels
  const WHOLE: Record<string, () => Promise<Buffer>> = {
    jpeg: () => colourPicture(noise, 8).jpeg().toBuffer(),
    'progressive jpeg': () => colourPicture(noise, 8).jpeg({ progressive: true }).toBuffer(),
    png: () => colourPicture(noise, 8).png().toBuffer(),
    'png with 16 bits': () =>
      colourPicture(scatteredCodes(PIXELS * 3, 65536), 16)
        .png()
        .toBuffer(),
    'tiff, directory last': () => colourPicture(noise, 8).tiff({ compression: 'none' }).toBuffer(),
    'tiff, directory first': async () => greyTiff({ tag: 305, type: 2, values: 'test' }),
    webp: () => colourPicture(noise, 8).webp().toBuffer(),
    avif: () => colourPicture(noise, 8).avif().toBuffer(),
    heic: async () => readFileSync(QUARTERS_HEIC),
  };

  describe.each(Object.entries(WHOLE))('%s', (name, whole) => {
    test('whole, it is read', async () => {
      expect(await refusal(folder.write(`${name} whole`, await whole()))).toBe('was read');
    });

    // 0.98: a last block gone, which a lenient decoder fills with grey.
    test.each([0.98, 0.7, 0.3, 0.05])('%d of it is refused', async (share) => {
      const bytes = await whole();
      const part = bytes.subarray(0, Math.floor(bytes.length * share));
      await expectRefused(folder.write(`${name} ${share}`, part), /damaged or cut off|is cut off/);
    });
  });
});

describe('damaged', () => {
  test('a JPEG with a hole in its pixels', async () => {
    const bytes = await colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
      .jpeg()
      .toBuffer();
    // 0xff 0xd9 ends a picture (ITU-T T.81, table B.1): here too early.
    bytes.set([0xff, 0xd9], bytes.length - 1000);
    await expectRefused(folder.write('hole.jpg', bytes), /damaged or cut off/);
  });
});

describe('damaged inside', () => {
  test.each([
    ['a tiled TIFF', { compression: 'deflate', tile: true, tileWidth: 16, tileHeight: 16 }],
    ['a TIFF in strips', { compression: 'deflate' }],
  ] as const)('%s', async (what, options) => {
    const bytes = await colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
      .tiff(options)
      .toBuffer();
    bytes.fill(0, 1000, 1040);
    await expectRefused(folder.write(`${what}.tif`, bytes), /damaged or cut off/);
  });

  // PNG holds a check sum of every part (W3C PNG, third edition, section 5.5).
  test('a PNG with one byte changed', async () => {
    const bytes = await colourPicture(scatteredCodes(PIXELS * 3, 256), 8)
      .png()
      .toBuffer();
    bytes[1000]! ^= 1;
    await expectRefused(folder.write('byte.png', bytes), /damaged or cut off/);
  });
});

describe('pictures that are no photos to measure', () => {
  test.each([
    {
      what: 'a 1-bit TIFF',
      bytes: () => quarters().toColourspace('b-w').tiff({ bitdepth: 1 }).toBuffer(),
      found: /black or white only \(1 bit\); expected 8 or 16 bits/,
    },
    {
      what: 'a 1-bit PNG',
      bytes: () => quarters().png({ palette: true, colours: 2, dither: 0 }).toBuffer(),
      found: /black or white only|has [24] bits a channel; expected 8 or 16 bits/,
    },
    {
      what: '20 × 15',
      bytes: () => quarters().resize(20).png().toBuffer(),
      found: /20 × 15 pixels; expected at least 32/,
    },
    {
      what: 'CMYK',
      bytes: () => quarters().toColourspace('cmyk').jpeg().toBuffer(),
      found: /kind "cmyk"; expected grey or RGB/,
    },
    {
      what: 'floating point',
      bytes: async () =>
        tinyTiff({ width: 40, height: 36, bits: 32, sampleFormat: 3, pixels: new Uint8Array(PIXELS * 4) }),
      found: /kind "float"; expected 8 or 16 bits/,
    },
    {
      what: 'transparent colour',
      bytes: () => quarters().ensureAlpha(0.5).png().toBuffer(),
      found: /are transparent; expected a photo/,
    },
    {
      what: 'transparent grey',
      bytes: () =>
        greyPicture(scatteredCodes(PIXELS, 256), 8)
          .joinChannel(Buffer.alloc(PIXELS, 99), { raw: { width: 40, height: 36, channels: 1 } })
          .png()
          .toBuffer(),
      found: /are transparent/,
    },
    {
      what: 'a reduced copy first',
      bytes: async () => greyTiff({ tag: 254, type: 4, values: [1] }),
      found: /camera raw file; expected a JPEG or TIFF developed/,
    },
    {
      what: 'DNG',
      bytes: async () => greyTiff({ tag: 50706, type: 1, values: [1, 4, 0, 0] }),
      found: /camera raw file/,
    },
    {
      what: 'CR2',
      bytes: async () => Buffer.concat([Buffer.from('II*\0\x10\0\0\0CR\x02\0', 'latin1'), Buffer.alloc(99)]),
      found: /camera raw file/,
    },
  ])('$what', async ({ what, bytes, found }) => {
    await expectRefused(folder.write(what, await bytes()), found);
  });

  test('a page of a larger TIFF that says it is the whole is read', async () => {
    const path = folder.write('full', greyTiff({ tag: 254, type: 4, values: [0] }));
    expect(await refusal(path)).toBe('was read');
  });

  test('16 bits under a table for 8', async () => {
    const bytes = await colourPicture(scatteredCodes(PIXELS * 3, 65536), 16)
      .png()
      .toBuffer();
    const path = folder.write('deep.png', bytes);
    const reading = readPhoto(path, { tone: new Float64Array(256), channel: 'green' });
    await expect(reading).rejects.toThrow(`${path}: it has 16 bits a channel; expected the same kind`);
  });
});

test('the head of a bad file is refused in the same words', async () => {
  const path = folder.write('short.png', (await quarters().png().toBuffer()).subarray(0, 20));
  await expect(readPhotoHead(path)).rejects.toThrow(/damaged or cut off/);
  await expect(readPhotoHead(folder.path)).rejects.toThrow(InputError);
});

test('sharp itself would have read part of the cut-off JPEG', async () => {
  const bytes = await quarters().jpeg().toBuffer();
  const part = bytes.subarray(0, bytes.length - 20);
  expect((await sharp(part, { failOn: 'none' }).raw().toBuffer()).length).toBeGreaterThan(0);
  await expectRefused(folder.write('part.jpg', part), /damaged or cut off/);
});
