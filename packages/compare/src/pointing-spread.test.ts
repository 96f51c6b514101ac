import { seededRandom } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { madeResult, trueTubes } from './fixtures/made-result.js';
import { pointingSpreadNotes } from './pointing-spread.js';

const SIZE = { rows: 12, columns: 15 };

/** Tubes that point off by a scatter each way, measured with a noise. */
function made(seed: number, scatterDeg: number, noiseDeg: number): Result {
  const random = seededRandom(seed);
  const bare = madeResult(SIZE, trueTubes(SIZE, random), { pointingNoiseDeg: noiseDeg }, random);
  const off = Math.hypot(scatterDeg, noiseDeg);
  const cells = bare.cells.map((cell) => ({
    ...cell,
    pointing: {
      ...cell.pointing!,
      uncertaintyDeg: noiseDeg,
      errorDeg: Math.hypot(off * random.normal(), off * random.normal()),
    },
  }));
  return { ...bare, cells };
}

const says = (earlier: Result, later: Result) =>
  pointingSpreadNotes(earlier, later)[0].says.replaceAll('\u00a0', ' ');

describe('pointingSpreadNotes', () => {
  test('the scatter put in comes out, whatever the noise of the sweep', () => {
    const [, before, after] = /point (\S+)° off.* (\S+)° later/.exec(
      says(made(1, 0.1, 0.02), made(2, 0.1, 0.06)),
    )!;
    // 360 values each: a standard deviation is known to 1/√720 = 4 %, a little less with the noise; three of those.
    for (const value of [before, after]) expect(Math.abs(Number(value) / 0.1 - 1)).toBeLessThan(0.15);
  });

  test('of 200 pairs with nothing changed, 95 % show no difference', () => {
    const shown = Array.from({ length: 200 }, (_, seed) =>
      says(made(2 * seed, 0.1, 0.02), made(2 * seed + 1, 0.1, 0.05)),
    ).filter((text) => !text.includes('no difference shown'));
    // Binomial: 10 expected, more than 19 by chance in 0.3 %.
    expect(shown.length).toBeLessThan(20);
  });

  test.each([
    ['scatter more', 0.1, 0.2],
    ['scatter less', 0.2, 0.1],
  ])('they %s', (words, before, after) => {
    expect(says(made(3, before, 0.02), made(4, after, 0.02))).toContain(words);
  });

  test('no sweep in one session, or in both', () => {
    const blind = (result: Result) => ({
      ...result,
      cells: result.cells.map((cell) => ({ ...cell, pointing: null })),
    });
    const seen = made(5, 0.1, 0.02);
    expect(says(blind(seen), seen)).toContain('the earlier session doesn’t tell');
    expect(says(seen, blind(seen))).toContain('the later session doesn’t tell');
    expect(pointingSpreadNotes(blind(seen), blind(seen))).toEqual([]);
  });
});
