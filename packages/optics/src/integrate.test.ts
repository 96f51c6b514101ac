import { expect, test } from 'vitest';
import { integrate } from './integrate.js';

test.each<[string, (x: number) => number, number, number, number]>([
  ['a cubic, which Simpson’s rule takes exactly', (x) => x ** 3 - x, -1, 3, 16],
  ['sin', Math.sin, 0, Math.PI, 2],
  ['exp', Math.exp, 0, 1, Math.E - 1],
])('integrate: %s', (_, f, from, to, exact) => {
  expect(Math.abs(integrate(f, from, to) - exact)).toBeLessThan(1e-8);
});
