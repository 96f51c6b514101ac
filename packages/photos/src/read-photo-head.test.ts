import { describe, expect, test } from 'vitest';
import {
  colourPicture,
  EXIF,
  QUARTERS_HEIC,
  QUARTERS_TURNED_HEIC,
  quarters,
  scatteredCodes,
} from './fixtures/pictures.js';
import { tempFolder } from './fixtures/temp-folder.js';
import { tinyTiff } from './fixtures/tiny-tiff.js';
import { readPhotoHead } from './read-photo.js';

const folder = tempFolder();
const WRITTEN = {
  exposureS: 0.125,
  iso: 100,
  aperture: 1.8,
  takenAt: '2025-01-31T18:05:09',
  processed: false,
};
const NOTHING = { exposureS: null, iso: null, aperture: null, takenAt: null, processed: false };

describe('exposure and time from EXIF', () => {
  test.each(['jpeg', 'png', 'webp', 'avif'] as const)('in %s', async (type) => {
    const bytes = await quarters().withExif(EXIF).toFormat(type).toBuffer();
    const head = await readPhotoHead(folder.write(`exif.${type}`, bytes));
    expect(head).toEqual({ type, widthPx: 64, heightPx: 48, bits: 8, ...WRITTEN });
  });

  test('in HEIC, upright and turned', async () => {
    const head = { type: 'heic', widthPx: 64, heightPx: 48, bits: 8, ...WRITTEN };
    expect(await readPhotoHead(QUARTERS_HEIC)).toEqual(head);
    expect(await readPhotoHead(QUARTERS_TURNED_HEIC)).toEqual({ ...head, widthPx: 48, heightPx: 64 });
  });

  test('in TIFF', async () => {
    // Exif 2.3, table 4: tag numbers of exposure time, f-number, sensitivity and time.
    const exif = [
      { tag: 33434, type: 5, values: [0.125] },
      { tag: 33437, type: 5, values: [1.8] },
      { tag: 34855, type: 3, values: [100] },
      { tag: 36867, type: 2, values: '2025:01:31 18:05:09' },
    ] as const;
    const bytes = tinyTiff({ width: 40, height: 36, bits: 8, exif, pixels: new Uint8Array(40 * 36) });
    const head = await readPhotoHead(folder.write('exif.tif', bytes));
    expect(head).toEqual({ type: 'tiff', widthPx: 40, heightPx: 36, bits: 8, ...WRITTEN });
  });
});

// Exif 2.3, 4.6.5, CustomRendered: 0 = normal, 1 = custom; phones write further values for merged frames.
test.each([
  ['0', false],
  ['1', true],
  ['3', true],
  ['4', false],
])('CustomRendered %s: tones changed in parts of the photo, %s', async (value, processed) => {
  const bytes = await quarters()
    .withExif({ IFD2: { CustomRendered: value } })
    .jpeg()
    .toBuffer();
  expect((await readPhotoHead(folder.write('rendered.jpg', bytes))).processed).toBe(processed);
});

describe('no exposure', () => {
  test('without EXIF', async () => {
    const bytes = await colourPicture(scatteredCodes(40 * 36 * 3, 65536), 16)
      .png()
      .toBuffer();
    const head = await readPhotoHead(folder.write('none.png', bytes));
    expect(head).toEqual({ type: 'png', widthPx: 40, heightPx: 36, bits: 16, ...NOTHING });
  });

  test.each([
    [
      'zeros',
      { ExposureTime: '0/1', FNumber: '0/1', ISOSpeedRatings: '0', DateTimeOriginal: '0000:00:00 00:00:00' },
    ],
    ['more than ISO 65534, for which Exif writes 65535', { ISOSpeedRatings: '65535' }],
    ['a date in words', { DateTimeOriginal: 'last Friday evening' }],
  ])('from %s', async (name, fields) => {
    const bytes = await quarters().withExif({ IFD0: {}, IFD2: fields }).jpeg().toBuffer();
    expect(await readPhotoHead(folder.write(name, bytes))).toMatchObject(NOTHING);
  });

  test('from an EXIF block that cannot be read', async () => {
    const bytes = await quarters().withExif(EXIF).jpeg().toBuffer();
    const block = bytes.indexOf('Exif\0\0');
    bytes.fill(0x55, block + 6, block + 60);
    expect(await readPhotoHead(folder.write('broken.jpg', bytes))).toMatchObject({ widthPx: 64, ...NOTHING });
  });
});

test('size after the orientation tag', async () => {
  const bytes = await quarters().withMetadata({ orientation: 8 }).jpeg().toBuffer();
  expect(await readPhotoHead(folder.write('turned.jpg', bytes))).toMatchObject({ widthPx: 48, heightPx: 64 });
});
