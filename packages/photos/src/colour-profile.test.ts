import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { profileCurve } from './colour-profile.js';
import { srgbToLinear } from './tone-curve.js';

/** A profile that holds one tag and nothing else that is read. */
function profile(tag: string, body: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(144 + body.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(128, 1);
  [...tag].forEach((letter, n) => {
    view.setUint8(132 + n, letter.charCodeAt(0));
  });
  view.setUint32(136, 144);
  view.setUint32(140, body.length);
  bytes.set(body, 144);
  return bytes;
}
const ascii = (word: string) => [...word].map((letter) => letter.charCodeAt(0));
const u16 = (value: number) => [value >> 8, value & 255];
const u32 = (value: number) => [...u16(value >>> 16), ...u16(value & 0xffff)];
const fixed = (value: number) => u32(Math.round(value * 65536));
const curve = (...values: number[]) => [
  ...ascii('curv'),
  ...u32(0),
  ...u32(values.length),
  ...values.flatMap(u16),
];
const parametric = (kind: number, ...values: number[]) => [
  ...ascii('para'),
  ...u32(0),
  ...u16(kind),
  ...u16(0),
  ...values.flatMap(fixed),
];

describe('profileCurve', () => {
  // Answers by the formulas of ICC.1:2022, 10.6 and 10.18.
  test.each([
    ['no entry: in proportion', curve(), 0.3, 0.3],
    ['one entry: a power in 256ths, Adobe RGB (1998)', curve(563), 0.5, 0.5 ** (563 / 256)],
    ['a table, between two entries', curve(0, 6553, 65535), 0.75, (6553 + 65535) / 2 / 65535],
    ['function 0', parametric(0, 1.8), 0.5, 0.5 ** 1.8],
    [
      'function 3 as in sRGB, straight part',
      parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045),
      0.02,
      0.02 / 12.92,
    ],
    [
      'function 3 as in sRGB, power',
      parametric(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045),
      0.5,
      srgbToLinear(0.5),
    ],
    ['function 4', parametric(4, 2, 1, 0, 0.5, 0.25, 0.1, 0.05), 0.5, 0.35],
  ])('%s', (_, body, value, light) => {
    for (const tag of ['gTRC', 'kTRC']) {
      // Parameters are rounded to 2⁻¹⁶.
      expect(Math.abs(profileCurve(profile(tag, body))!(value) - light)).toBeLessThan(5e-5);
    }
  });

  test.each([
    ['no curve', profile('desc', ascii('text'))],
    ['a curve of an unknown kind', profile('gTRC', ascii('what1234'))],
    ['an unknown function', profile('gTRC', parametric(9, 1))],
    ['a table that is cut off', profile('gTRC', curve(0, 1, 2).slice(0, 14))],
    ['nothing', new Uint8Array(3)],
  ])('%s: null', (_, bytes) => {
    expect(profileCurve(bytes)).toBeNull();
  });

  // The library's Display P3 profile, not ours: SMPTE EG 432-1's primaries with the curve of IEC 61966-2-1.
  test('Display P3 as a picture library embeds it has the curve of sRGB', async () => {
    const png = await sharp({ create: { width: 64, height: 64, channels: 3, background: '#808080' } })
      .withIccProfile('p3')
      .png()
      .toBuffer();
    const { icc } = await sharp(png).metadata();
    const decode = profileCurve(icc!)!;
    for (const value of [0.01, 0.2, 0.5, 0.9])
      expect(Math.abs(decode(value) - srgbToLinear(value))).toBeLessThan(2e-4);
  });
});
