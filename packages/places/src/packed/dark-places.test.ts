import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { darkPlaces } from './dark-places.js';

const ROW = Math.sqrt(3) / 2;

/** A hexagonal stack in pitches, its places a little off, without those that `dark` names by row and column. */
function stack(dark: readonly (readonly [number, number])[], jitter = 0.01) {
  const random = seededRandom(9);
  const all = Array.from({ length: 11 * 12 }, (_, n) => [Math.floor(n / 12), n % 12] as const);
  const placeOf = ([row, column]: readonly [number, number]) => ({
    u: column + (row % 2) / 2,
    v: row * ROW,
  });
  const lit = all.filter(([row, column]) => !dark.some(([r, c]) => r === row && c === column)).map(placeOf);
  const near = (value: number) => value + jitter * random.normal();
  return {
    u: lit.map(({ u }) => near(u)),
    v: lit.map(({ v }) => near(v)),
    dark: dark.map(placeOf),
  };
}

describe('darkPlaces', () => {
  test.each([
    ['none', []],
    ['one', [[5, 5]]],
    ['two side by side', [[5, 5], [5, 6]]], // biome-ignore format: pairs
    ['a cluster of seven', [[5, 5], [5, 6], [5, 4], [4, 4], [4, 5], [6, 4], [6, 5]]], // biome-ignore format: pairs
    ['one at the rim', [[0, 5]]],
  ] as const)('dark tubes between others are found where they lie: %s', (_, dark) => {
    const { u, v, dark: due } = stack(dark);
    const found = darkPlaces(u, v);
    expect(found).toHaveLength(due.length);
    for (const place of due) {
      expect(Math.min(...found.map((one) => Math.hypot(one.u - place.u, one.v - place.v)))).toBeLessThan(
        0.08,
      );
    }
  });

  test('a gap too narrow for a tube holds none', () => {
    const { u, v } = stack([]);
    const wider = v.map((value) => (value > 4.5 ? value + 0.7 : value));
    expect(darkPlaces(u, wider)).toEqual([]);
  });
});
