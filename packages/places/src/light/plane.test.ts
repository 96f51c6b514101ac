import { seededRandom } from '@twolamp/optics';
import type { LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { crop, reducePhoto, reducePlane } from './plane.js';

const WIDTH = 37;
const HEIGHT = 23;

function photoOf(width: number, height: number, light: (x: number, y: number) => number): LinearPhoto {
  const at = Array.from({ length: width * height }, (_, n) => light(n % width, Math.floor(n / width)));
  const clipped = Uint8Array.from(at, (value) => (value >= 1 ? 1 : 0));
  return { width, height, light: Float32Array.from(at), clipped, exposureS: null, iso: null, aperture: null };
}

const random = seededRandom(3);
const SPECKLED = photoOf(WIDTH, HEIGHT, () => 1.2 * random.uniform());

const sum = (values: ArrayLike<number>) => Array.from(values).reduce((total, value) => total + value, 0);

describe('reducePhoto', () => {
  // Single precision keeps 6e-8 of each of some 800 pixels.
  test.each([1, 2, 3, 5, 23])(
    'by %i keeps all light and all clipped pixels of the whole blocks',
    (factor) => {
      const { width, height, data, clipped } = reducePhoto(SPECKLED, factor);
      expect([width, height]).toEqual([Math.floor(WIDTH / factor), Math.floor(HEIGHT / factor)]);
      const inBlocks = (_: number, n: number) =>
        n % WIDTH < width * factor && Math.floor(n / WIDTH) < height * factor;
      const light = sum(SPECKLED.light.filter(inBlocks));
      expect(Math.abs(sum(data) * factor ** 2 - light)).toBeLessThan(1e-6 * light);
      const lost = sum(SPECKLED.clipped.filter(inBlocks));
      expect(Math.abs(sum(clipped!) * factor ** 2 - lost)).toBeLessThan(1e-6 * lost);
    },
  );

  test('means and clipped shares as worked out by hand', () => {
    const rows = [
      [0, 0.5, 1, 1, 0.25],
      [0.25, 0.25, 1, 0, 0.25],
      [0.5, 0.5, 0, 0, 0.25],
    ];
    const reduced = reducePhoto(
      photoOf(5, 3, (x, y) => rows[y][x]),
      2,
    );
    expect(reduced).toMatchObject({ width: 2, height: 1, factor: 2 });
    expect([...reduced.data]).toEqual([0.25, 0.75]);
    expect([...reduced.clipped!]).toEqual([0, 0.75]);
  });

  test.each([2, 3, 4])('by %i: a pixel’s middle lies at k·X + (k − 1)/2', (factor) => {
    const across = reducePhoto(
      photoOf(WIDTH, HEIGHT, (x) => x),
      factor,
    );
    const down = reducePhoto(
      photoOf(WIDTH, HEIGHT, (_, y) => y),
      factor,
    );
    const [column, row] = [4, 3];
    const at = row * across.width + column;
    expect(across.data[at]).toBeCloseTo(factor * column + (factor - 1) / 2, 5);
    expect(down.data[at]).toBeCloseTo(factor * row + (factor - 1) / 2, 5);
  });

  test.each([0, -1, 1.5, 24, Number.NaN])('refuses the factor %d', (factor) => {
    expect(() => reducePhoto(SPECKLED, factor)).toThrow(/^factor must be .*got/);
  });

  test('leaves the photo as it was', () => {
    const before = SPECKLED.light.slice();
    reducePhoto(SPECKLED, 3);
    expect(SPECKLED.light).toEqual(before);
  });
});

test('a plane reduced by 2 and by 3 is the plane reduced by 6', () => {
  const whole = { width: 36, height: 24, data: photoOf(36, 24, () => random.uniform()).light };
  const twice = reducePlane(reducePlane(whole, 2), 3);
  const once = reducePlane(whole, 6);
  expect([twice.width, twice.height]).toEqual([once.width, once.height]);
  once.data.forEach((value, n) => {
    expect(Math.abs(twice.data[n] - value)).toBeLessThan(1e-6);
  });
});

test('crop takes the rectangle asked for', () => {
  const plane = { width: 5, height: 4, data: Float32Array.from({ length: 20 }, (_, n) => n) };
  expect(crop(plane, 2, 1, 3, 2)).toEqual({
    width: 3,
    height: 2,
    data: Float32Array.from([7, 8, 9, 12, 13, 14]),
  });
});
