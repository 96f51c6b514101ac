import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { type ShareAt, shrinkShares } from './shrink-shares.js';

const NOISE = 2e-4;
const random = seededRandom(3);

/** Four cells a pitch away that get shares given, and sixteen farther off that get nothing; all with noise. */
function around(near: readonly number[]): ShareAt[] {
  const noisy = (share: number, pitches: number) => ({
    share: share + NOISE * random.normal(),
    sigma: NOISE,
    pitches,
  });
  return [
    ...near.map((share) => noisy(share, 1)),
    ...Array.from({ length: 16 }, (_, n) => noisy(0, n < 8 ? 2 : Math.sqrt(8))),
  ];
}

const sum = (shares: readonly ShareAt[]) => shares.reduce((all, one) => all + one.share, 0);
const near = (shares: readonly ShareAt[]) => shares.slice(0, 4);
const far = (shares: readonly ShareAt[]) => shares.slice(4);
const rms = (values: readonly number[]) => Math.hypot(...values) / Math.sqrt(values.length);

describe('shrinkShares', () => {
  const tubes = Array.from({ length: 12 }, (_, n) => around(new Array(4).fill(0.001 + 2e-4 * n)));
  const steady = shrinkShares(tubes);

  test('what far cells get is noise, and hardly any of it is left in a total', () => {
    // Sixteen cells of independent noise add up to 4 of it; what twelve tubes have in common, to a √12th.
    expect(rms(tubes.map((tube) => sum(far(tube)))) / NOISE).toBeGreaterThan(2);
    expect(rms(steady.map((tube) => sum(far(tube)))) / NOISE).toBeLessThan(2);
  });

  test('far cells that all tubes clearly send light to keep it, but for the noise', () => {
    const sent = tubes.map((tube) => [
      ...near(tube),
      ...far(tube).map((one) => ({ ...one, share: one.share + 3e-4 })),
    ]);
    for (const tube of shrinkShares(sent)) {
      // 192 shares tell their mean to a 14th of the noise of one.
      expect(Math.abs(sum(far(tube)) / 16 - 3e-4) / NOISE).toBeLessThan(0.3);
    }
  });

  test('a dim tube, whose shares are noise, leaves those of the others as they are', () => {
    const dim = tubes[0].map((one) => ({ ...one, share: one.share - 20 * NOISE, sigma: 20 * NOISE }));
    const others = shrinkShares([...tubes, dim]).slice(0, -1);
    others.forEach((tube, n) => {
      // As one of thirteen alike it would take 16 · 20/13, some 25; what is left is the scatter told anew.
      expect(Math.abs(sum(tube) - sum(steady[n])) / NOISE).toBeLessThan(3);
    });
  });

  test('what the nearest cells get together stays the tube’s own', () => {
    for (const [n, tube] of tubes.entries()) {
      expect(Math.abs(sum(near(steady[n])) - sum(near(tube)))).toBeLessThan(1e-12);
    }
  });

  test('the worst neighbour of tubes without a leak isn’t merely the noisiest', () => {
    const over = (shares: readonly ShareAt[]) =>
      Math.max(...near(shares).map((one) => one.share)) - sum(near(shares)) / 4;
    // The largest of four normal values lies 1.03 standard deviations above their mean (Tippett 1925).
    expect(rms(tubes.map(over)) / NOISE).toBeGreaterThan(0.7);
    expect(rms(steady.map(over)) / NOISE).toBeLessThan(0.5);
  });

  test.each([
    { where: 'near', cell: 2 },
    { where: 'far', cell: 9 },
  ])('a leak to a $where cell stays as it is', ({ cell }) => {
    const leaking = tubes.map((tube, n) =>
      tube.map((one, k) => (n === 5 && k === cell ? { ...one, share: 0.03 } : one)),
    );
    expect(shrinkShares(leaking)[5][cell]).toEqual({ ...leaking[5][cell], share: 0.03 });
  });

  test('the input stays as it is', () => {
    const before = structuredClone(tubes);
    shrinkShares(tubes);
    expect(tubes).toEqual(before);
  });

  test('no tube, no shares', () => {
    expect(shrinkShares([])).toEqual([]);
  });
});
