import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readPhoto } from '@twolamp/photos';
import type { Shot } from '@twolamp/session';
import { readPlan, writeSimulation } from '@twolamp/simulate';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openSession } from './files/open-session.js';
import { sessionPhotos } from './photos-of-session.js';

/** Five even shots a stop apart, exposures in EXIF. */
const EXPOSURES = ['1/60 s', '1/30 s', '1/15 s', '1/8 s', '1/4 s'];
const PLAN = `format: twolamp-plan/1
seed: 5
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 280, height: 200, format: png8 }
camera: { blur-px: 3 }
light: { even-lux: 400000 }
shots: [${EXPOSURES.map((time) => `{ kind: even, exposure: ${time}, iso: 400 }`).join(', ')}]
`;

let folder: string;
let text: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-series-'));
  await writeSimulation(readPlan(PLAN, 'plan.yaml'), folder, () => {});
  text = (await readFile(join(folder, 'session.yaml'), 'utf8')).replace('tone: srgb', 'tone: bracketed');
});
afterAll(() => rm(folder, { recursive: true }));

/** Opens the session with what is written after the photo of its third shot. */
async function opened(stated = '') {
  const file = join(folder, 'session.yaml');
  await writeFile(file, text.replace(/(even-3\.png.*kind: even)/, `$1${stated}`));
  const open = await openSession(file);
  return { open, photos: () => sessionPhotos(open, readPhoto, open.session.shots) };
}

describe('an exposure series', () => {
  // The photos are sRGB (IEC 61966-2-1); a response is known up to a factor.
  test('gives the camera’s response, without a word where it fits', async () => {
    const { open, photos } = await opened();
    const { load, findings } = await photos();
    const shot: Shot = open.session.shots[3]!;
    const [mine, known] = [
      await load(shot),
      await readPhoto(join(folder, shot.photo), { tone: 'srgb', channel: 'luminance' }),
    ];
    const bright = [...known.light.keys()].filter((i) => known.light[i]! > 0.2 && known.light[i]! < 0.9);
    const ratios = bright.map((i) => mine.light[i]! / known.light[i]!).sort((a, b) => a - b);
    const quantile = (share: number) => ratios[Math.floor(share * ratios.length)]!;
    expect(bright.length).toBeGreaterThan(1000);
    expect(quantile(0.95) / quantile(0.05)).toBeLessThan(1.1);
    expect(findings).toEqual([]);
  });

  test('says so where an exposure isn’t as stated', async () => {
    const { photos } = await opened(', exposure: 1/10 s');
    const { findings } = await photos();
    expect(findings).toMatchObject([{ code: 'camera-response-misfit', about: 'photos' }]);
  });

  test('refuses an ISO that is known of some photos only', async () => {
    const bare = join(folder, 'even-3.png');
    const file = await readFile(bare);
    await writeFile(bare, await sharp(file).png().toBuffer()); // EXIF is left behind
    try {
      const { photos } = await opened(', exposure: 1/15 s, aperture: 1.8');
      await expect(photos()).rejects.toThrow(/even-3\.png: its iso is unknown, while other shots/);
    } finally {
      await writeFile(bare, file);
    }
  });
});
