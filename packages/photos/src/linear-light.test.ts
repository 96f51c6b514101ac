import { describe, expect, test } from 'vitest';
import { type Channel, linearLight } from './linear-light.js';
import type { PixelCodes } from './codes.js';
import { responseTable } from './tone-curve.js';

const LINEAR = responseTable('linear', 256);

function row(channels: 1 | 3 | 4, ...data: number[]): PixelCodes {
  return { width: data.length / channels, height: 1, channels, codes: 256, data: Uint8Array.from(data) };
}

/** Largest step between neighbouring single-precision numbers below 1. */
const FLOAT32_STEP = 2 ** -24;

describe('linearLight', () => {
  // ITU-R BT.709-6, item 3.2: Y = 0.2126 R + 0.7152 G + 0.0722 B, on linear values.
  test.each([
    { colour: 'red', codes: [255, 0, 0], luminance: 0.2126 },
    { colour: 'green', codes: [0, 255, 0], luminance: 0.7152 },
    { colour: 'blue', codes: [0, 0, 255], luminance: 0.0722 },
    { colour: 'white', codes: [255, 255, 255], luminance: 1 },
    { colour: 'half red, full blue', codes: [51, 0, 255], luminance: 0.2126 / 5 + 0.0722 },
  ])('luminance of $colour is $luminance', ({ codes, luminance }) => {
    const { light } = linearLight(row(3, ...codes), LINEAR, 'luminance');
    expect(Math.abs(light[0] - luminance)).toBeLessThanOrEqual(FLOAT32_STEP);
  });

  test('weighs light, not codes: sRGB code 188 is half light in every channel', () => {
    // Code 188 is 0.50288646 linear: IEC 61966-2-1, see datasets/reference/srgb.csv.
    const { light } = linearLight(row(3, 188, 0, 188), responseTable('srgb', 256), 'luminance');
    expect(Math.abs(light[0] - (0.2126 + 0.0722) * 0.50288646)).toBeLessThan(1e-7);
  });

  const TWO_PIXELS = [51, 102, 153, 204, 0, 255];
  test.each<{ channel: Channel; light: number[] }>([
    { channel: 'red', light: [0.2, 0.8] },
    { channel: 'green', light: [0.4, 0] },
    { channel: 'blue', light: [0.6, 1] },
  ])('takes $channel alone', ({ channel, light }) => {
    expect(linearLight(row(3, ...TWO_PIXELS), LINEAR, channel).light).toEqual(Float32Array.from(light));
  });

  test.each<{ channel: Channel; clipped: number[] }>([
    { channel: 'luminance', clipped: [0, 1, 1, 1, 0] },
    { channel: 'red', clipped: [0, 1, 0, 0, 0] },
    { channel: 'green', clipped: [0, 0, 1, 0, 0] },
    { channel: 'blue', clipped: [0, 0, 0, 1, 0] },
  ])('marks as clipped for $channel what $channel rests on', ({ channel, clipped }) => {
    const pixels = row(3, 9, 9, 9, 255, 9, 9, 9, 255, 9, 9, 9, 255, 254, 254, 254);
    expect(linearLight(pixels, LINEAR, channel).clipped).toEqual(Uint8Array.from(clipped));
  });

  test('passes opacity over', () => {
    const opaque = linearLight(
      row(4, ...TWO_PIXELS.slice(0, 3), 255, ...TWO_PIXELS.slice(3), 255),
      LINEAR,
      'luminance',
    );
    expect(opaque).toEqual(linearLight(row(3, ...TWO_PIXELS), LINEAR, 'luminance'));
    expect(opaque.clipped).toEqual(Uint8Array.of(0, 1));
  });

  test.each<Channel>(['luminance', 'red', 'green', 'blue'])('grey is its own %s', (channel) => {
    const { light, clipped } = linearLight(row(1, 51, 255), LINEAR, channel);
    expect(light).toEqual(Float32Array.of(0.2, 1));
    expect(clipped).toEqual(Uint8Array.of(0, 1));
  });
});
