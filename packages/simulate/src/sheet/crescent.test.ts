import { circleOverlap } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { crescentAt, type CrescentImage, crescentImages } from './crescent.js';
import { brightnessAt, spotProfile } from './spot-profile.js';

/** Sum, and variances along and across the shift, over a fine grid. */
function moments(image: CrescentImage, reachMm: number) {
  const step = 0.02;
  let [sum, along, aside] = [0, 0, 0];
  for (let x = -reachMm; x <= reachMm; x += step) {
    for (let y = -reachMm; y <= reachMm; y += step) {
      const share = crescentAt(image, x, y) * step ** 2;
      sum += share;
      along += share * x * x;
      aside += share * y * y;
    }
  }
  return { sum, along: along / sum, aside: aside / sum };
}

/** Area of the lens that two circles of radius 1 share, and its variances, by midpoints over its strips. */
function lens(shift: number) {
  let [area, along, aside] = [0, 0, 0];
  const tip = Math.sqrt(1 - (shift / 2) ** 2);
  for (let i = 0; i < 20_000; i++) {
    const y = ((i + 0.5) / 10_000 - 1) * tip;
    const half = Math.sqrt(1 - y * y) - shift / 2;
    area += (2 * half * tip) / 10_000;
    along += (((2 * half ** 3) / 3) * tip) / 10_000;
    aside += (2 * half * y * y * tip) / 10_000;
  }
  return { area, along: along / area, aside: aside / area };
}

describe('crescentImages', () => {
  test.each([0.2, 0.6, 1.2, 1.7])('circles of radius 1 mm, %d mm apart', (shift) => {
    const sharp = lens(shift);
    // The lens itself is the overlap of the absorbing tube's theory.
    expect(Math.abs(sharp.area / Math.PI / circleOverlap(shift / 2) - 1)).toBeLessThan(1e-4);
    for (const sigma of [0.1, 0.25]) {
      const found = moments(crescentImages(1, sigma)(shift), 3);
      expect(Math.abs(found.sum - 1)).toBeLessThan(2e-3);
      // Variances of a figure and of its blur add up; reading between nodes adds step²/6 at most.
      const between = (0.2 * sigma) ** 2 / 6;
      expect(Math.abs(found.along - sharp.along - sigma ** 2)).toBeLessThan(
        1.5 * between + 1e-3 * sharp.along,
      );
      expect(Math.abs(found.aside - sharp.aside - sigma ** 2)).toBeLessThan(
        1.5 * between + 1e-3 * sharp.aside,
      );
    }
  });

  test('unshifted circles are the evenly lit disc', () => {
    const image = crescentImages(1.3, 0.2)(0);
    const disc = spotProfile(1.3, 0.2);
    for (const r of [0, 0.5, 0.9, 1.2, 1.3, 1.4, 1.7]) {
      expect(Math.abs(crescentAt(image, r * 0.6, r * 0.8) - brightnessAt(disc, r * r))).toBeLessThan(5e-4);
    }
  });

  test('a tip of two rims at right angles is a quarter as bright as the middle', () => {
    // Circles √2 radii apart meet at right angles: there the blur sees a quarter of the plane, but for the rims' bend.
    const image = crescentImages(1, 0.02)(Math.SQRT2);
    expect(Math.abs(crescentAt(image, 0, Math.SQRT1_2) / crescentAt(image, 0, 0) - 0.25)).toBeLessThan(0.01);
  });
});
