import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readPhoto, readPhotoHead, thumbnail } from '@twolamp/photos';
import sharp from 'sharp';
import { afterAll, beforeAll, bench, describe } from 'vitest';

/** A phone's 12 megapixels. */
const WIDTH = 4032;
const HEIGHT = 3024;
/** Distance of the spots of the photographed array. */
const PITCH_PX = 110;

const folder = mkdtempSync(join(tmpdir(), 'twolamp-bench-'));
const path = join(folder, 'spots.jpg');

/** A lattice of soft spots on black with the grain of a dim picture, so that the JPEG is as hard as a real one. */
function spots(): Uint8Array {
  const data = new Uint8Array(WIDTH * HEIGHT * 3);
  let state = 1;
  for (let i = 0; i < data.length; i++) {
    const pixel = Math.floor(i / 3);
    const dx = ((pixel % WIDTH) % PITCH_PX) - PITCH_PX / 2;
    const dy = (Math.floor(pixel / WIDTH) % PITCH_PX) - PITCH_PX / 2;
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    data[i] = 12 + 180 * Math.exp(-(dx * dx + dy * dy) / 1500) + 8 * (state / 2 ** 32);
  }
  return data;
}

beforeAll(async () => {
  await sharp(spots(), { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .jpeg({ quality: 90 })
    .toFile(path);
});
afterAll(() => rmSync(folder, { recursive: true }));

const OPTIONS = { iterations: 10, warmupIterations: 2, time: 0, warmupTime: 0 };

describe('a 12-megapixel JPEG', () => {
  bench('sharp alone, to bytes', async () => void (await sharp(path).raw().toBuffer()), OPTIONS);
  bench(
    'readPhoto, luminance',
    async () => void (await readPhoto(path, { tone: 'srgb', channel: 'luminance' })),
    OPTIONS,
  );
  bench(
    'readPhoto, green',
    async () => void (await readPhoto(path, { tone: 'srgb', channel: 'green' })),
    OPTIONS,
  );
  bench('readPhotoHead', async () => void (await readPhotoHead(path)), OPTIONS);
  bench('thumbnail, 1200 wide', async () => void (await thumbnail(path, 1200)), OPTIONS);
});
