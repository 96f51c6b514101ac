import type { Decode } from './colour-profile.js';

/** Linear light of every code a photo's channel can hold: entry c is the light of code c, 0 to 1, never falling. */
export type ResponseTable = Float64Array;

/** How a photo's codes stand for light: by the sRGB curve, in proportion, or by a camera's own table. */
export type ToneCurve = 'srgb' | 'linear' | ResponseTable;

/**
 * Linear light of an sRGB-coded value.
 *
 * @param value - coded value, 0 to 1
 * @returns light, 0 to 1
 *
 * Source: IEC 61966-2-1:1999, threshold 0.04045, slope 12.92, offset 0.055, exponent 2.4.
 */
export function srgbToLinear(value: number): number {
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
}

/**
 * The table code → light of a tone curve.
 *
 * @param tone - the curve; a table must have one entry for each code
 * @param codes - number of codes, 256 for 8 bits, 65536 for 16 bits
 * @param profile - the curve of the photo's own colour profile, in place of sRGB's
 * @throws RangeError where a table's length isn't the number of codes
 */
export function responseTable(tone: ToneCurve, codes: number, profile: Decode | null = null): ResponseTable {
  if (typeof tone !== 'string') {
    if (tone.length !== codes) throw new RangeError(`tone must have ${codes} entries, got ${tone.length}`);
    return tone;
  }
  const decode = tone === 'linear' ? (value: number) => value : (profile ?? srgbToLinear);
  return Float64Array.from({ length: codes }, (_, code) => decode(code / (codes - 1)));
}
