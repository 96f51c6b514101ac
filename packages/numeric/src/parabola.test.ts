import { describe, expect, test } from 'vitest';
import { parabolaVertex } from './parabola.js';

describe('parabolaVertex', () => {
  // y = a·(x − c)² + h at x = −1, 0 and 1.
  test.each([
    { a: 1, c: 0, h: 0 },
    { a: 2.5, c: 0.3, h: -4 },
    { a: -0.7, c: -0.45, h: 11 },
    { a: 3, c: 2, h: 1 },
  ])('finds the vertex of $a·(x − $c)² + $h', ({ a, c, h }) => {
    const at = (x: number) => a * (x - c) ** 2 + h;
    const found = parabolaVertex(at(-1), at(0), at(1));
    expect(found?.offset).toBeCloseTo(c, 12);
    expect(found?.value).toBeCloseTo(h, 12);
    expect(found?.curvature).toBeCloseTo(2 * a, 12);
  });

  test('a straight line has none', () => expect(parabolaVertex(1, 2, 3)).toBeNull());
});
