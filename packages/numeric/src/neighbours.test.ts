import { expect, test } from 'vitest';
import { neighbourFinder } from './neighbours.js';

// A square lattice of 5 × 5, row by row.
const places = Array.from({ length: 25 }, (_, n) => ({ x: n % 5, y: Math.floor(n / 5) }));
const near = neighbourFinder(
  places.map(({ x }) => x),
  places.map(({ y }) => y),
);

test.each([
  { point: 12, radius: 1.2, found: [7, 11, 13, 17] },
  { point: 12, radius: 1.6, found: [6, 7, 8, 11, 13, 16, 17, 18] },
  { point: 0, radius: 1.6, found: [1, 5, 6] },
  { point: 24, radius: 1, found: [] },
])('around $point nearer than $radius', ({ point, radius, found }) => {
  const neighbours = near(point, radius);
  expect(neighbours.map(({ index }) => index)).toEqual(found);
  for (const { index, distance } of neighbours) {
    const [a, b] = [places[point], places[index]];
    expect(distance).toBeCloseTo(Math.hypot(a.x - b.x, a.y - b.y), 14);
  }
});
