import { expect, test } from 'vitest';
import { fillTerms, supportedDegree, surfaceTerms } from './polynomial.js';

test.each([
  [0, 1],
  [1, 3],
  [2, 6],
  [3, 10],
])('degree %d has %d terms', (degree, terms) => {
  expect(surfaceTerms(degree)).toBe(terms);
});

test('fillTerms: by growing order, x before y, and nothing else is touched', () => {
  const [x, y] = [2, 3];
  const into = new Float64Array(12).fill(-1);
  fillTerms(x, y, 3, into, 1);
  expect([...into]).toEqual([-1, 1, x, y, x * x, x * y, y * y, x ** 3, x * x * y, x * y * y, y ** 3, -1]);
});

test.each([
  { points: 100, degree: 3 },
  { points: 40, degree: 3 },
  { points: 39, degree: 2 },
  { points: 12, degree: 1 },
  { points: 11, degree: null },
])('$points points at 4 a term support degree $degree', ({ points, degree }) => {
  expect(supportedDegree(points, 4, 3, 1)).toBe(degree);
});
