import { expect, test } from 'vitest';
import { triangulate } from './delaunay.js';

test('edges longer than the reach join no neighbours', () => {
  expect(triangulate([0, 1, 0], [0, 0, 3], 2).neighbours).toEqual([[1], [0], []]);
});

test('inside a hexagonal lattice each point has six neighbours, at its rim fewer', () => {
  const places = Array.from({ length: 25 }, (_, n) => [
    (n % 5) + (Math.floor(n / 5) % 2) / 2,
    Math.floor(n / 5),
  ]);
  const { neighbours } = triangulate(
    places.map(([x]) => x!),
    places.map(([, row]) => (row! * Math.sqrt(3)) / 2),
    1.5,
  );
  expect(neighbours[12]).toHaveLength(6);
  expect(neighbours[0]!.length).toBeLessThan(4);
});
