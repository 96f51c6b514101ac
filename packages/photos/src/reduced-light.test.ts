import { describe, expect, test } from 'vitest';
import type { PixelCodes } from './codes.js';
import { type Channel, linearLight } from './linear-light.js';
import { countClipped, reducedLight, sampledLight } from './reduced-light.js';
import { responseTable } from './tone-curve.js';

/** A picture of scattered codes; every tenth or so is the top one. */
function speckled(width: number, height: number, channels: 1 | 3 | 4, codes: 256 | 65536): PixelCodes {
  const data = new (codes === 256 ? Uint8Array : Uint16Array)(width * height * channels);
  for (let i = 0; i < data.length; i++) {
    data[i] = Math.min(codes - 1, (i * 7919) % Math.floor(1.1 * codes));
    if (channels === 4 && i % 4 === 3) data[i] = codes - 1;
  }
  return { width, height, channels, codes, data };
}

describe('reducedLight', () => {
  test('means and clipped shares as worked out by hand', () => {
    const data = Uint8Array.of(0, 51, 255, 102, 9, 51, 102, 255, 0, 9, 7, 7, 7, 7, 7);
    const pixels: PixelCodes = { width: 5, height: 3, channels: 1, codes: 256, data };
    const {
      data: light,
      clipped,
      ...size
    } = reducedLight(pixels, responseTable('linear', 256), 'red', 2, true);
    expect(size).toEqual({ width: 2, height: 1, factor: 2 });
    expect(light).toEqual(Float32Array.of(0.2, 0.6));
    expect(clipped).toEqual(Float32Array.of(0, 0.5));
  });

  test.each<[1 | 3, Channel, number]>([
    [3, 'luminance', 4],
    [3, 'green', 3],
    [1, 'luminance', 5],
  ])(
    '%i channels, %s by %i: sampled, the mean of every second pixel of every second row',
    (channels, channel, factor) => {
      const [pixels, table] = [speckled(37, 23, channels, 256), responseTable('srgb', 256)];
      const full = linearLight(pixels, table, channel);
      const sampled = sampledLight(pixels, table, channel, factor);
      for (let y = 0; y < sampled.height; y++) {
        for (let x = 0; x < sampled.width; x++) {
          const lights: number[] = [];
          for (let row = 0; row < factor; row += 2) {
            for (let column = 0; column < factor; column += 2) {
              lights.push(full.light[(y * factor + row) * 37 + x * factor + column]!);
            }
          }
          const mean = lights.reduce((sum, light) => sum + light, 0) / lights.length;
          expect(Math.abs(sampled.data[y * sampled.width + x]! - mean)).toBeLessThan(3e-7);
        }
      }
    },
  );

  test.each<[1 | 3 | 4, 256 | 65536, Channel, number]>([
    [3, 256, 'luminance', 1],
    [3, 256, 'luminance', 3],
    [3, 65536, 'luminance', 2],
    [4, 256, 'luminance', 4],
    [3, 256, 'green', 3],
    [1, 65536, 'luminance', 5],
  ])('%i channels of %i codes, %s by %i: the mean of the full light', (channels, codes, channel, factor) => {
    const [pixels, table] = [speckled(37, 23, channels, codes), responseTable('srgb', codes)];
    const full = linearLight(pixels, table, channel);
    const reduced = reducedLight(pixels, table, channel, factor, true);
    for (let y = 0; y < reduced.height; y++) {
      for (let x = 0; x < reduced.width; x++) {
        let [light, clipped] = [0, 0];
        for (let n = 0; n < factor * factor; n++) {
          const at = (y * factor + Math.floor(n / factor)) * 37 + x * factor + (n % factor);
          light += full.light[at] / factor ** 2;
          clipped += full.clipped[at] / factor ** 2;
        }
        // Single precision keeps 6e-8 of each row's part.
        expect(Math.abs(reduced.data[y * reduced.width + x] - light)).toBeLessThan(3e-7);
        expect(Math.abs(reduced.clipped![y * reduced.width + x] - clipped)).toBeLessThan(3e-7);
      }
    }
    expect(countClipped(pixels, channel)).toBe(full.clipped.reduce((sum, one) => sum + one, 0));
  });

  test.each([0, -1, 1.5, 24, Number.NaN])('refuses the factor %d', (factor) => {
    const pixels = speckled(37, 23, 3, 256);
    expect(() => reducedLight(pixels, responseTable('srgb', 256), 'luminance', factor, true)).toThrow(
      /^factor must be .*got/,
    );
  });
});

test('a photo without a clipped pixel has none', () => {
  const pixels = speckled(37, 23, 3, 256);
  const data = pixels.data.map((code) => Math.min(code, 254)) as Uint8Array;
  expect(countClipped({ ...pixels, data }, 'luminance')).toBe(0);
  const table = responseTable('srgb', 256);
  expect(reducedLight({ ...pixels, data }, table, 'luminance', 2, false).clipped).toBeNull();
});
