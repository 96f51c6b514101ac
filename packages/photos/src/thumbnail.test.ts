import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { QUARTERS_TURNED_HEIC, quarters } from './fixtures/pictures.js';
import { tempFolder } from './fixtures/temp-folder.js';
import { thumbnail } from './thumbnail.js';

const folder = tempFolder();

async function sizeAndTopRight(jpeg: Buffer): Promise<{ size: number[]; topRight: number[] }> {
  const { data, info } = await sharp(jpeg).raw().toBuffer({ resolveWithObject: true });
  const at = (3 * info.width + info.width - 4) * info.channels;
  return { size: [info.width, info.height], topRight: [...data.subarray(at, at + 3)] };
}

describe('thumbnail', () => {
  test.each([
    {
      name: 'JPEG',
      path: async () =>
        folder.write('turned', await quarters().withMetadata({ orientation: 6 }).jpeg().toBuffer()),
    },
    { name: 'HEIC', path: async () => QUARTERS_TURNED_HEIC },
  ])('$name: the right way up, with its scale', async ({ path }) => {
    // 64 × 48, a quarter turn clockwise: 48 × 64 with the red quarter top right.
    const { jpeg, width, height, scale } = await thumbnail(await path(), 24);
    expect({ width, height, scale }).toEqual({ width: 24, height: 32, scale: 0.5 });
    const { size, topRight } = await sizeAndTopRight(jpeg);
    expect(size).toEqual([24, 32]);
    expect(topRight[0]).toBeGreaterThan(topRight[1] + 100);
    expect(topRight[0]).toBeGreaterThan(topRight[2] + 100);
  });

  test('is never larger than the photo', async () => {
    const path = folder.write('small', await quarters().png().toBuffer());
    expect(await thumbnail(path, 1000)).toMatchObject({ width: 64, height: 48, scale: 1 });
  });

  test.each([0, -3, 1.5, Number.NaN])('refuses a width of %d', async (widthPx) => {
    await expect(thumbnail('any.jpg', widthPx)).rejects.toThrow(
      new RangeError(`widthPx must be a whole number above 0, got ${widthPx}`),
    );
  });

  test('refuses what readPhoto refuses', async () => {
    const bytes = await quarters().jpeg().toBuffer();
    const path = folder.write('cut', bytes.subarray(0, bytes.length - 30));
    await expect(thumbnail(path, 24)).rejects.toThrow(/damaged or cut off/);
  });
});
