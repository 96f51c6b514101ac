import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { testArray } from '../fixtures/draw-cells.js';
import { backDepartures } from './back-places.js';

const array = testArray(12, 16);
const cells = Array.from({ length: 12 * 16 }, (_, k) => ({ column: k % 16, row: Math.floor(k / 16) }));
const stated = cells.map(({ column, row }) => ({ across: 3 * (column - 7.5), up: -3 * (row - 5.5) }));

/** A photo of places in mm, turned by 3° and aslant: a projective map with closed form. */
function photo(places: readonly { across: number; up: number }[]) {
  const [cos, sin] = [Math.cos(0.05), Math.sin(0.05)];
  const seen = places.map(({ across, up }) => {
    const w = 1 + 0.0004 * across - 0.0002 * up;
    return [(400 + 7 * (cos * across + sin * up)) / w, (300 - 7 * (cos * up - sin * across)) / w];
  });
  return { x: seen.map(([x]) => x!), y: seen.map(([, y]) => y!) };
}

describe('backDepartures', () => {
  test('an array as stated has none, however it is seen', () => {
    const { acrossMm, upMm, sigmaMm } = backDepartures(array, photo(stated))!;
    for (const all of [acrossMm, upMm, sigmaMm]) {
      // mm of 24; the homography is iterated to the precision of single floats.
      expect(Math.max(...all.map(Math.abs))).toBeLessThan(1e-5);
    }
  });

  test('single tubes that sit aside are found, and not in doubt', () => {
    const random = seededRandom(5);
    const aside = stated.map(() => ({ across: 0.08 * random.normal(), up: 0.08 * random.normal() }));
    const { acrossMm, upMm, sigmaMm } = backDepartures(
      array,
      photo(
        stated.map(({ across, up }, k) => ({ across: across + aside[k]!.across, up: up + aside[k]!.up })),
      ),
    )!;
    aside.forEach((true_, k) => {
      // Eight terms of a homography fitted to 192 places take up some of 0.08 mm: √(8/192) of it on average.
      expect(Math.abs(acrossMm[k]! - true_.across)).toBeLessThan(0.06);
      expect(Math.abs(upMm[k]! - true_.up)).toBeLessThan(0.06);
    });
    expect(Math.max(...sigmaMm)).toBeLessThan(0.08);
  });

  test('a bulge: half of what is seen could be the lens, and its even growth is not seen at all', () => {
    const bulge = stated.map(({ across, up }) => across * 0.03 * (1 - (up / 18) ** 2));
    const { acrossMm, upMm, sigmaMm } = backDepartures(
      array,
      photo(stated.map(({ across, up }, k) => ({ across: across + bulge[k]!, up }))),
    )!;
    const unseen = bulge.map((true_, k) => true_ - acrossMm[k]!);
    expect(Math.max(...unseen)).toBeGreaterThan(0.2);
    const pulls = unseen.map((off, k) => off / sigmaMm[k]!);
    expect(Math.max(...pulls.map(Math.abs))).toBeLessThan(3);
    expect(Math.sqrt(pulls.reduce((sum, pull) => sum + pull ** 2, 0) / pulls.length)).toBeGreaterThan(0.5);
    sigmaMm.forEach((sigma, k) => {
      // A surface of degree 3 holds this bulge exactly.
      expect(sigma).toBeGreaterThan((0.499 * Math.hypot(acrossMm[k]!, upMm[k]!)) / Math.SQRT2);
    });
  });
});
