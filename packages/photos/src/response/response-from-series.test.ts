import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { colourPicture, scatteredCodes } from '../fixtures/pictures.js';
import { CURVES, type CameraCurve, EXPOSURES, expose, normal, seeded } from '../fixtures/series.js';
import { tempFolder } from '../fixtures/temp-folder.js';
import { readPhoto } from '../read-photo.js';
import { responseFromSeries, type SeriesPhoto } from './response-from-series.js';

const folder = tempFolder();
const WIDTH = 160;
const HEIGHT = 120;

/** Light of a smooth scene from dark to bright, a thousandfold; the colours differ by half a stop. */
function sceneLight(x: number, y: number, channel: number): number {
  const along = x / WIDTH + 0.08 * Math.sin(y / 6);
  return 0.0008 * 1000 ** along * 2 ** (channel / 2 - 0.5);
}

async function writeSeries(curve: CameraCurve): Promise<SeriesPhoto[]> {
  const gauss = normal(seeded(3));
  const noise = { read: 3e-4, shot: 3e-5, codes: 0 };
  const photos: SeriesPhoto[] = [];
  for (const exposure of EXPOSURES) {
    const data = new Uint8Array(WIDTH * HEIGHT * 3);
    for (let i = 0; i < data.length; i++) {
      const pixel = Math.floor(i / 3);
      const light = sceneLight(pixel % WIDTH, Math.floor(pixel / WIDTH), i % 3) * exposure;
      data[i] = expose(light, curve, noise, gauss);
    }
    // Full colour resolution: halved, it would mix clipped with unclipped pixels in so steep a scene.
    const jpeg = sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } }).jpeg({
      quality: 92,
      chromaSubsampling: '4:4:4',
    });
    const path = folder.write(`${curve.name.slice(0, 5)}-${exposure}.jpg`, await jpeg.toBuffer());
    photos.push({ path, exposure });
  }
  return photos;
}

const SERIES: { curve: CameraCurve; photos: SeriesPhoto[] }[] = [];
for (const curve of CURVES) SERIES.push({ curve, photos: await writeSeries(curve) });

describe('responseFromSeries', () => {
  test.each(SERIES)(
    'finds $curve.name from JPEG photos, to within 0.5 % of full scale',
    async ({ curve, photos }) => {
      const { table } = await responseFromSeries(photos);
      // 0.5 % is about the light of half a code near the top of an sRGB photo.
      for (let code = 0; code < 256; code++) {
        expect(Math.abs(table[code] - curve.decode(code / 255))).toBeLessThan(0.005);
      }
    },
  );

  test('its table makes photos of one scene agree', async () => {
    const { photos } = SERIES[1];
    const { table } = await responseFromSeries(photos);
    const [shorter, longer] = await Promise.all(
      [photos[3], photos[4]].map(({ path }) => readPhoto(path, { tone: table, channel: 'green' })),
    );
    const ratios = Array.from(longer.light, (light, i) => light / shorter.light[i])
      .filter((_, i) => shorter.light[i] > 0.1 && !longer.clipped[i] && longer.light[i] < 0.95)
      .sort((a, b) => a - b);
    // One stop apart: twice the light.
    expect(Math.abs(ratios[ratios.length >> 1] / 2 - 1)).toBeLessThan(0.005);
  });

  test('refuses photos of unequal size', async () => {
    const small = folder.write(
      'small.png',
      await colourPicture(scatteredCodes(40 * 36 * 3, 256), 8)
        .png()
        .toBuffer(),
    );
    const [first] = SERIES[0].photos;
    await expect(responseFromSeries([first, { path: small, exposure: 2 }])).rejects.toThrow(
      `${small}: it has 40 × 36 pixels in colour; expected 160 × 120 pixels in colour like the first of its series`,
    );
  });

  test('refuses photos of 16 bits', async () => {
    const deep = folder.write(
      'deep.png',
      await colourPicture(scatteredCodes(40 * 36 * 3, 65536), 16)
        .png()
        .toBuffer(),
    );
    await expect(responseFromSeries([{ path: deep, exposure: 1 }])).rejects.toThrow(
      `${deep}: it has 16 bits a channel; expected 8, for an exposure series`,
    );
  });
});
