import { triangulate } from '@twolamp/numeric';
import { expect, test } from 'vitest';
import { readingOrder } from './reading-order.js';
import { seenStraightOn } from './sheet-map.js';

const ROW = Math.sqrt(3) / 2;
const PLACES = Array.from({ length: 20 * 22 }, (_, n) => {
  const [row, column] = [Math.floor(n / 22), n % 22];
  return { u: column + (row % 2) / 2 - 10.75, v: row * ROW - 9.5 * ROW };
});

/** A pinhole camera 60 pitches away that looks a little aside. */
function tilted({ u, v }: { u: number; v: number }, tiltRad: number): [number, number] {
  const depth = 60 + u * Math.sin(tiltRad);
  return [(800 * u * Math.cos(tiltRad)) / depth, (800 * v) / depth];
}

test.each([0, 6])('places are seen straight on, in pitches, from a camera tilted by %d°', (tiltDeg) => {
  const at = PLACES.map((place) => tilted(place, (tiltDeg * Math.PI) / 180));
  const [x, y] = [at.map(([px]) => px), at.map(([, py]) => py)];
  const { neighbours } = triangulate(x, y, 20);
  const seen = seenStraightOn(x, y, neighbours);
  const misses = PLACES.map(({ u, v }, k) => Math.hypot(seen.u[k]! - u, seen.v[k]! - v));
  // Of a tilt's second order a few hundredths of a pitch are left at the rim.
  expect(Math.max(...misses)).toBeLessThan(0.06);
});

test('tubes in good order are numbered row by row, whatever the photo is turned by up to 10°', () => {
  for (const turn of [0, 10, -10]) {
    const [c, s] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
    const u = PLACES.map((place) => c * place.u - s * place.v);
    const v = PLACES.map((place) => s * place.u + c * place.v);
    const order = readingOrder(u, v, triangulate(u, v, 1.5).neighbours);
    expect(order).toEqual(PLACES.map((_, k) => k));
  }
});
