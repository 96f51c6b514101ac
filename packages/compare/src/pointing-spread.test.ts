import { seededRandom } from '@twolamp/optics';
import { finding, type Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { madeResult, trueTubes } from './fixtures/made-result.js';
import { pointingSpreadFindings } from './pointing-spread.js';

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

function alignment(earlier: Result, later: Result) {
  const [found] = pointingSpreadFindings(earlier, later);
  if (found.code !== 'alignment') throw new Error(`found ${found.code}`);
  return found.values;
}

describe('pointingSpreadFindings', () => {
  test('the scatter put in comes out, whatever the noise of the sweep', () => {
    const { earlierDeg, laterDeg } = alignment(made(1, 0.1, 0.02), made(2, 0.1, 0.06));
    // 360 values each: a standard deviation is known to 1/√720 = 4 %, a little less with the noise; three of those.
    for (const value of [earlierDeg, laterDeg]) expect(Math.abs(value / 0.1 - 1)).toBeLessThan(0.15);
  });

  test('of 200 pairs with nothing changed, 95 % show no difference', () => {
    const shown = Array.from({ length: 200 }, (_, seed) =>
      alignment(made(2 * seed, 0.1, 0.02), made(2 * seed + 1, 0.1, 0.05)),
    ).filter(({ lowDeg, highDeg }) => lowDeg > 0 || highDeg < 0);
    // Binomial: 10 expected, more than 19 by chance in 0.3 %.
    expect(shown.length).toBeLessThan(20);
  });

  test.each([
    ['scatter more', 0.1, 0.2, 1],
    ['scatter less', 0.2, 0.1, -1],
  ])('they %s', (_, before, after, sign) => {
    const { lowDeg, highDeg } = alignment(made(3, before, 0.02), made(4, after, 0.02));
    expect([Math.sign(lowDeg), Math.sign(highDeg)]).toEqual([sign, sign]);
  });

  test('no sweep in one session, or in both', () => {
    const blind = (result: Result) => ({
      ...result,
      cells: result.cells.map((cell) => ({ ...cell, pointing: null })),
    });
    const seen = made(5, 0.1, 0.02);
    const lacking = (session: 'earlier' | 'later') =>
      finding('alignment-not-compared', 'pointing', { lacking: session });
    expect(pointingSpreadFindings(blind(seen), seen)).toEqual([lacking('earlier')]);
    expect(pointingSpreadFindings(seen, blind(seen))).toEqual([lacking('later')]);
    expect(pointingSpreadFindings(blind(seen), blind(seen))).toEqual([]);
  });
});
