import type { LinearPhoto } from '@twolamp/session';
import type { Sharp } from 'sharp';
import { describe, expect, test } from 'vitest';
import {
  colourPicture,
  EXIF,
  greyPicture,
  QUARTERS,
  QUARTERS_HEIC,
  QUARTERS_HEIGHT,
  QUARTERS_TURNED_HEIC,
  QUARTERS_WIDTH,
  quarters,
  scatteredCodes,
} from './fixtures/pictures.js';
import { tempFolder } from './fixtures/temp-folder.js';
import { readPhoto } from './read-photo.js';

const folder = tempFolder();
const CHANNELS = ['red', 'green', 'blue'] as const;
const PIXELS = 40 * 36;

/** Codes, as whole numbers again, of a photo that was read as linear. */
function codesOf(photo: LinearPhoto, codes: number): Uint16Array {
  return Uint16Array.from(photo.light, (light) => Math.round(light * (codes - 1)));
}

describe('lossless formats come through code for code', () => {
  const WRITERS: { name: string; bits: 8 | 16; write: (picture: Sharp) => Sharp }[] = [
    { name: 'PNG, 8 bits', bits: 8, write: (picture) => picture.png() },
    { name: 'PNG, 16 bits', bits: 16, write: (picture) => picture.png() },
    { name: 'TIFF, 8 bits', bits: 8, write: (picture) => picture.tiff({ compression: 'lzw' }) },
    { name: 'TIFF, 16 bits', bits: 16, write: (picture) => picture.tiff({ compression: 'deflate' }) },
    {
      name: 'TIFF, 16 bits, uncompressed',
      bits: 16,
      write: (picture) => picture.tiff({ compression: 'none' }),
    },
    { name: 'WebP, lossless', bits: 8, write: (picture) => picture.webp({ lossless: true }) },
  ];

  test.each(WRITERS)('$name, colour', async ({ name, bits, write }) => {
    const written = scatteredCodes(PIXELS * 3, 2 ** bits);
    const path = folder.write(`${name} colour`, await write(colourPicture(written, bits)).toBuffer());
    for (const [k, channel] of CHANNELS.entries()) {
      const photo = await readPhoto(path, { tone: 'linear', channel });
      expect([photo.width, photo.height]).toEqual([40, 36]);
      expect(codesOf(photo, 2 ** bits)).toEqual(written.filter((_, i) => i % 3 === k));
    }
  });

  test.each(WRITERS)('$name, grey', async ({ name, bits, write }) => {
    const written = scatteredCodes(PIXELS, 2 ** bits);
    const path = folder.write(`${name} grey`, await write(greyPicture(written, bits)).toBuffer());
    const photo = await readPhoto(path, { tone: 'linear', channel: 'luminance' });
    expect(codesOf(photo, 2 ** bits)).toEqual(written);
  });
});

describe('lossy formats come through nearly', () => {
  /** Codes by which a flat area may miss at the qualities written here. */
  const LOSS = 3;

  test.each([
    { name: 'JPEG', bytes: () => quarters().jpeg({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer() },
    { name: 'WebP', bytes: () => quarters().webp({ quality: 95 }).toBuffer() },
    { name: 'AVIF', bytes: () => quarters().avif({ quality: 95, chromaSubsampling: '4:4:4' }).toBuffer() },
    { name: 'HEIC', bytes: null },
  ])('$name', async ({ name, bytes }) => {
    const path = bytes ? folder.write(name, await bytes()) : QUARTERS_HEIC;
    for (const [k, channel] of CHANNELS.entries()) {
      const photo = await readPhoto(path, { tone: 'linear', channel });
      expect([photo.width, photo.height]).toEqual([QUARTERS_WIDTH, QUARTERS_HEIGHT]);
      const codes = codesOf(photo, 256);
      for (const [quarter, expected] of QUARTERS.entries()) {
        const x = quarter % 2 === 0 ? 10 : QUARTERS_WIDTH - 11;
        const y = quarter < 2 ? 10 : QUARTERS_HEIGHT - 11;
        expect(Math.abs(codes[y * QUARTERS_WIDTH + x] - expected[k])).toBeLessThanOrEqual(LOSS);
      }
    }
  });

  test('AVIF with 10 bits: sharp puts its 8-bit codes in as four times as much', async () => {
    const bytes = await quarters()
      .avif({ bitdepth: 10, lossless: true, chromaSubsampling: '4:4:4' })
      .toBuffer();
    const photo = await readPhoto(folder.write('ten.avif', bytes), { tone: 'linear', channel: 'red' });
    expect(Math.abs(codesOf(photo, 1024)[0] - 4 * QUARTERS[0][0])).toBeLessThanOrEqual(4);
  });
});

describe('orientation', () => {
  // Exif 2.3, tag 0x0112: where row 0 and column 0 of the stored picture are to be seen. The quarters of the stored
  // picture, 0 1 over 2 3, then appear in this order.
  const SEEN = [
    { orientation: 1, rule: 'row 0 top, column 0 left', order: [0, 1, 2, 3] },
    { orientation: 2, rule: 'row 0 top, column 0 right', order: [1, 0, 3, 2] },
    { orientation: 3, rule: 'row 0 bottom, column 0 right', order: [3, 2, 1, 0] },
    { orientation: 4, rule: 'row 0 bottom, column 0 left', order: [2, 3, 0, 1] },
    { orientation: 5, rule: 'row 0 left, column 0 top', order: [0, 2, 1, 3] },
    { orientation: 6, rule: 'row 0 right, column 0 top', order: [2, 0, 3, 1] },
    { orientation: 7, rule: 'row 0 right, column 0 bottom', order: [3, 1, 2, 0] },
    { orientation: 8, rule: 'row 0 left, column 0 bottom', order: [1, 3, 0, 2] },
  ];
  const FORMATS = ['jpeg', 'png', 'tiff', 'webp', 'avif'] as const;

  async function expectOrder(path: string, order: number[], swapped: boolean): Promise<void> {
    const [width, height] = swapped ? [QUARTERS_HEIGHT, QUARTERS_WIDTH] : [QUARTERS_WIDTH, QUARTERS_HEIGHT];
    const corners = [
      10 * width + 10,
      11 * width - 11,
      (height - 11) * width + 10,
      (height - 10) * width - 11,
    ];
    for (const [k, channel] of CHANNELS.entries()) {
      const photo = await readPhoto(path, { tone: 'linear', channel });
      expect([photo.width, photo.height]).toEqual([width, height]);
      const codes = codesOf(photo, 256);
      for (const [corner, at] of corners.entries()) {
        // The quarters differ by 80 codes, the formats lose a few.
        expect(Math.abs(codes[at] - QUARTERS[order[corner]][k])).toBeLessThan(16);
      }
    }
  }

  describe.each(FORMATS)('%s', (format) => {
    test.each(SEEN)('$orientation: $rule', async ({ orientation, order }) => {
      const bytes = await quarters().withMetadata({ orientation }).toFormat(format).toBuffer();
      await expectOrder(folder.write(`turned-${orientation}.${format}`, bytes), order, orientation > 4);
    });
  });

  test('HEIC by its own box: a quarter turn clockwise', async () => {
    await expectOrder(QUARTERS_TURNED_HEIC, [2, 0, 3, 1], true);
  });
});

describe('colour profiles are left aside', () => {
  test('8 bits: sRGB red, written in Display P3, keeps the codes of the file', async () => {
    const red = colourPicture(
      new Uint16Array(PIXELS * 3).map((_, i) => (i % 3 === 0 ? 255 : 0)),
      8,
    );
    const path = folder.write('p3.png', await red.withIccProfile('p3').png().toBuffer());
    // W3C, CSS Color Module Level 4: sRGB red is color(display-p3 0.9175 0.2003 0.1387).
    for (const [channel, share] of [
      ['red', 0.9175],
      ['green', 0.2003],
      ['blue', 0.1387],
    ] as const) {
      const { light } = await readPhoto(path, { tone: 'linear', channel });
      expect(Math.abs(light[0] - share) * 255).toBeLessThan(1.5); // codes; the profile itself is rounded
    }
  });

  test('16 bits: sharp adds the profile and leaves the codes, and so do we', async () => {
    const written = scatteredCodes(PIXELS * 3, 65536);
    const bytes = await colourPicture(written, 16).withIccProfile('p3').png().toBuffer();
    const photo = await readPhoto(folder.write('p3-16.png', bytes), { tone: 'linear', channel: 'green' });
    expect(codesOf(photo, 65536)).toEqual(written.filter((_, i) => i % 3 === 1));
  });
});

describe('what comes with the light', () => {
  test('tone curve, clipping, and exposure from EXIF', async () => {
    const written = Uint16Array.from({ length: PIXELS }, (_, i) => i % 256);
    const bytes = await greyPicture(written, 8).withExif(EXIF).png().toBuffer();
    const photo = await readPhoto(folder.write('grey.png', bytes), { tone: 'srgb', channel: 'luminance' });
    // IEC 61966-2-1, codes 10, 50 and 200: datasets/reference/srgb.csv.
    expect(Math.abs(photo.light[10] - 0.0030352698)).toBeLessThan(1e-9);
    expect(Math.abs(photo.light[50] - 0.03189603)).toBeLessThan(1e-8);
    expect(Math.abs(photo.light[200] - 0.57758044)).toBeLessThan(1e-7);
    expect(photo.clipped).toEqual(Uint8Array.from(written, (code) => (code === 255 ? 1 : 0)));
    expect(photo).toMatchObject({ exposureS: 0.125, iso: 100, aperture: 1.8 });
  });

  test("a camera's own table, and nulls where there is no EXIF", async () => {
    const written = Uint16Array.from({ length: PIXELS }, (_, i) => i % 256);
    const path = folder.write('plain.png', await greyPicture(written, 8).png().toBuffer());
    const tone = Float64Array.from({ length: 256 }, (_, code) => (code / 255) ** 3);
    const photo = await readPhoto(path, { tone, channel: 'luminance' });
    expect(photo.light[51]).toBe(Math.fround(0.2 ** 3));
    expect(photo).toMatchObject({ exposureS: null, iso: null, aperture: null });
  });

  test.each([8, 16] as const)('opaque parts count as if there were no opacity, %i bits', async (bits) => {
    const colour = scatteredCodes(PIXELS * 3, 2 ** bits);
    const grey = scatteredCodes(PIXELS, 2 ** bits);
    const colourBytes = await colourPicture(colour, bits).ensureAlpha(1).png().toBuffer();
    const greyBytes = await greyPicture(grey, bits).ensureAlpha(1).png().toBuffer();
    const blue = await readPhoto(folder.write('rgba.png', colourBytes), { tone: 'linear', channel: 'blue' });
    const luminance = await readPhoto(folder.write('ga.png', greyBytes), {
      tone: 'linear',
      channel: 'luminance',
    });
    expect(codesOf(blue, 2 ** bits)).toEqual(colour.filter((_, i) => i % 3 === 2));
    expect(codesOf(luminance, 2 ** bits)).toEqual(grey);
  });
});
