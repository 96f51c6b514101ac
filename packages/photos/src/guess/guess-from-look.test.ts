import type { LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { glance } from './glance.js';
import { guessFromLooks } from './guess-from-look.js';

const WIDTH = 640;
const HEIGHT = 480;
const PITCH = 16;

/** A photo drawn from a formula; not square, so that x and y can't be mixed up. */
function draw(light: (x: number, y: number) => number): LinearPhoto {
  const data = new Float32Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) for (let x = 0; x < WIDTH; x++) data[y * WIDTH + x] = light(x, y);
  return {
    width: WIDTH,
    height: HEIGHT,
    light: data,
    clipped: new Uint8Array(WIDTH * HEIGHT),
    exposureS: null,
    iso: null,
    aperture: null,
  };
}

const inside = (x: number, y: number) => x > 120 && x < 520 && y > 100 && y < 380;
/** Tubes as a cosine lattice. */
const tubes = (x: number, y: number) =>
  inside(x, y) ? (1 + Math.cos((2 * Math.PI * x) / PITCH)) * (1 + Math.cos((2 * Math.PI * y) / PITCH)) : 0;
const patch = (x: number, y: number, x0: number, y0: number) =>
  Math.exp(-((x - x0) ** 2 + (y - y0) ** 2) / (2 * 30 ** 2));

const LOOKS = [
  ['dark', (_x: number, _y: number) => 0.002],
  ['even', (x: number, y: number) => 0.01 + 0.15 * tubes(x, y)],
  ['bare', (x: number, y: number) => (inside(x, y) ? 0.7 - 0.0003 * x : 0.02)],
  ['bare', (x: number, _y: number) => 0.7 - 0.0003 * x],
  // A sheet so small that its border runs through many of the lit blocks.
  ['bare', (x: number, y: number) => (x > 207 && x < 433 && y > 147 && y < 333 ? 0.7 : 0.02)],
  ['lamp', (x: number, y: number) => 0.01 + 0.2 * tubes(x, y) * patch(x, y, 300, 220)],
  [
    'pair',
    (x: number, y: number) => 0.01 + 0.2 * tubes(x, y) * (patch(x, y, 250, 220) + patch(x, y, 390, 220)),
  ],
  [
    'pair',
    (x: number, y: number) => 0.01 + 0.2 * tubes(x, y) * (patch(x, y, 320, 170) + patch(x, y, 320, 310)),
  ],
] as const;

describe('guessFromLooks', () => {
  const UNKNOWN = { exposureS: null, iso: null, aperture: null };

  test('each picture by its look', () => {
    const photos = LOOKS.map(([, light]) => ({ look: glance(draw(light)), exposure: UNKNOWN }));
    expect(guessFromLooks(photos)).toEqual(LOOKS.map(([kind]) => kind));
  });

  // A sheet lit by stray light for 10 s, by an even light through tubes for 1 s, and without the array for 1/1000 s.
  test('a long dark shot is told from a bare one by its exposure', () => {
    const sheet = (light: number) => (x: number, y: number) => (inside(x, y) ? light : 0.3 * light);
    const photos = [
      { look: glance(draw(sheet(0.15))), exposure: { ...UNKNOWN, exposureS: 10 } },
      { look: glance(draw(LOOKS[1][1])), exposure: { ...UNKNOWN, exposureS: 1 } },
      { look: glance(draw(sheet(0.05))), exposure: { ...UNKNOWN, exposureS: 0.001 } },
    ];
    expect(guessFromLooks(photos)).toEqual(['dark', 'even', 'bare']);
    expect(guessFromLooks(photos.map(({ look }) => ({ look, exposure: UNKNOWN })))[0]).toBe('bare');
  });
});

describe('glance', () => {
  test('the lit share is the share of the area that is lit', () => {
    const { litShare, peak, elongation } = glance(draw((x, y) => (x < 320 && y < 240 ? 0.5 : 0)));
    expect(litShare).toBe(0.25);
    expect(peak).toBe(0.5);
    // A block of 320 × 240: its second moments are as 320² to 240².
    expect(Math.abs(elongation - 320 / 240)).toBeLessThan(0.001);
  });

  test('a block half dark and half light varies by its mean', () => {
    expect(glance(draw((x) => (x < 320 ? x % 2 : 0))).texture).toBe(1);
  });

  test('doubled light doubles the peak and leaves the shape', () => {
    const once = glance(draw(LOOKS[6][1]));
    const twice = glance(draw((x, y) => 2 * LOOKS[6][1](x, y)));
    expect(twice.peak / once.peak).toBeCloseTo(2, 6);
    expect({ ...twice, peak: 0 }).toEqual({
      ...once,
      peak: 0,
      bright: twice.bright,
      texture: expect.closeTo(once.texture, 6),
      elongation: expect.closeTo(once.elongation, 6),
    });
  });

  test('bright light is that of the brightest pixels, hot ones aside', () => {
    const photo = draw((x, y) => (x < 20 && y < 20 ? 0.8 : 0.1));
    photo.light[5] = 1;
    expect(Math.abs(glance(photo).bright - 0.8)).toBeLessThan(1 / 1024); // bins are that wide
  });

  test('the clipped share is counted', () => {
    const photo = draw(() => 1);
    photo.clipped.fill(1, 0, (WIDTH * HEIGHT) / 4);
    expect(glance(photo).clippedShare).toBe(0.25);
  });
});
