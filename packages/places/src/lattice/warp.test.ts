import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { fitWarp, type Tie } from './warp.js';

type Map = (u: number, v: number) => [number, number];

const tilted: Map = (u, v) => {
  const w = 1 + 0.004 * u - 0.003 * v;
  return [(20 * u + 2 * v + 40) / w, (-1.5 * u + 19 * v + 30) / w];
};
/** Tilted, with a lens that draws the corners in. */
const distorted: Map = (u, v) => {
  const [x, y] = tilted(u, v);
  const square = ((x - 300) / 300) ** 2 + ((y - 220) / 300) ** 2;
  return [300 + (x - 300) * (1 - 0.03 * square), 220 + (y - 220) * (1 - 0.03 * square)];
};

function tiesOf(map: Map, rows: number, columns: number, noisePx = 0): Tie[] {
  const random = seededRandom(8);
  return Array.from({ length: rows * columns }, (_, n) => {
    const [u, v] = [n % columns, Math.floor(n / columns)];
    const [x, y] = map(u, v);
    return { u, v, x: x + noisePx * random.normal(), y: y + noisePx * random.normal() };
  });
}

const missOf = (
  map: Map,
  warp: { at: Map | ((u: number, v: number) => readonly [number, number]) },
  u: number,
  v: number,
) => {
  const [x, y] = map(u, v);
  const [atX, atY] = warp.at(u, v);
  return Math.hypot(atX - x, atY - y);
};

describe('fitWarp', () => {
  // Points are kept in single precision by the homography's library.
  test('finds a tilt, inside and well outside the points', () => {
    const warp = fitWarp(tiesOf(tilted, 12, 16))!;
    for (const [u, v] of [
      [0, 0],
      [7.5, 5.5],
      [15, 11],
      [-3, -2],
      [19, 13],
    ] as const) {
      expect(missOf(tilted, warp, u, v)).toBeLessThan(1e-3);
    }
  });

  // A quartic doesn't hold all of tilt times distortion; dark cells are looked for within a tenth of a pitch.
  test('follows a lens’s distortion to a fiftieth of a pitch', () => {
    const warp = fitWarp(tiesOf(distorted, 22, 28))!;
    const misses = tiesOf(distorted, 22, 28).map(({ u, v }) => missOf(distorted, warp, u, v));
    expect(Math.max(...misses)).toBeLessThan(20 / 50);
  });

  test('is not drawn aside by a twentieth of wrong ties', () => {
    const random = seededRandom(4);
    const ties = tiesOf(tilted, 12, 16).map((tie, n) =>
      n % 20 === 3 ? { ...tie, x: tie.x + 8 * random.normal(), y: tie.y + 8 } : tie,
    );
    const warp = fitWarp(ties)!;
    const misses = tiesOf(tilted, 12, 16).map(({ u, v }) => missOf(tilted, warp, u, v));
    expect(Math.max(...misses)).toBeLessThan(0.05);
  });

  // 15 terms each way share the scatter of 616 ties: some σ √(15/616) = 0.16 σ within, a few times that in the corners.
  test('evens out the scatter of the ties', () => {
    const warp = fitWarp(tiesOf(distorted, 22, 28, 0.5))!;
    const misses = tiesOf(distorted, 22, 28).map(({ u, v }) => missOf(distorted, warp, u, v));
    expect(Math.sqrt(misses.reduce((sum, miss) => sum + miss * miss, 0) / misses.length)).toBeLessThan(
      1.5 * 0.5 * Math.sqrt((2 * 15) / 616),
    );
  });

  test('its slope is the map’s derivative', () => {
    const warp = fitWarp(tiesOf(tilted, 12, 16))!;
    const [u, v, step] = [6, 4, 1e-4];
    const [east, west, south, north] = [
      tilted(u + step, v),
      tilted(u - step, v),
      tilted(u, v + step),
      tilted(u, v - step),
    ];
    const truth = [east[0] - west[0], south[0] - north[0], east[1] - west[1], south[1] - north[1]];
    // Taken over a whole pitch: off by the third derivative, here some 1e-4 px.
    warp.slope(u, v).forEach((value, n) => {
      expect(Math.abs(value - truth[n]! / (2 * step))).toBeLessThan(1e-3);
    });
  });

  test.each([
    ['three ties', tiesOf(tilted, 1, 3)],
    ['none', []],
    ['the same tie again and again', Array.from({ length: 9 }, () => ({ u: 1, v: 2, x: 30, y: 40 }))],
  ])('null for %s', (_, ties) => {
    expect(fitWarp(ties)).toBeNull();
  });
});
