import { seededRandom } from '@twolamp/optics';
import { finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { madeResolving } from './fixtures/made-result.js';
import { resolvingChange } from './resolving-change.js';

const codes = (findings: readonly { code: string }[]) => findings.map(({ code }) => code);

describe('both distances within the shots', () => {
  // Zou & Donner’s formula by hand: difference 1, √(0.1² + 0.12² − 2r × 0.1 × 0.12) below and above. Standard deviations are
  // 0.22 m ÷ 3.92, which is 2.81 % of 2 m and 1.87 % of 3 m, 1.3 % of both being the same: r = 0.013² ÷ (0.0281 × 0.0187) = 0.3219.
  test('the interval comes from both', () => {
    const { resolving, findings } = resolvingChange(madeResolving(2), madeResolving(3));
    expect(resolving!.differenceM).toBe(1);
    expect(Math.abs(resolving!.lowM! - (1 - Math.sqrt(0.0244 - 0.024 * 0.3219)))).toBeLessThan(1e-5);
    expect(Math.abs(resolving!.highM! - (1 + Math.sqrt(0.0244 - 0.024 * 0.3219)))).toBeLessThan(1e-5);
    expect([resolving!.verdict, findings]).toEqual(['farther', []]);
  });

  test.each([
    [3, 2, 'nearer'],
    [3, 3.1, 'no difference shown'],
    [3, 2.9, 'no difference shown'],
  ] as const)('%d m, then %d m: %s', (earlier, later, verdict) => {
    expect(resolvingChange(madeResolving(earlier), madeResolving(later)).resolving!.verdict).toBe(verdict);
  });

  /**
   * A distance as it comes from a reciprocal that is normal, so that its 95 % interval is known and lopsided: 1/D is known
   * to 1.4 or 4 % in each session, as from a straight line in 1/D. Of that, 1.3 % are the same in both sessions.
   */
  function measured(trueM: number, sigma: number, both: number, random: ReturnType<typeof seededRandom>) {
    const own = Math.sqrt(sigma ** 2 - 0.013 ** 2);
    const inverse = (1 + 0.013 * both + own * random.normal()) / trueM;
    const half = (1.959964 * sigma) / trueM;
    return madeResolving(1 / inverse, { lowM: 1 / (inverse + half), highM: 1 / (inverse - half) });
  }

  /** In what share of 4000 pairs of sessions something holds of the change between two distances. */
  function shareOf(
    holds: (change: NonNullable<ReturnType<typeof resolvingChange>['resolving']>) => boolean,
    earlierM: number,
    sigma: number,
    seed: number,
  ): number {
    const random = seededRandom(seed);
    const pairs = 4000;
    let count = 0;
    for (let pair = 0; pair < pairs; pair++) {
      const both = random.normal();
      const earlier = measured(earlierM, sigma, both, random);
      if (holds(resolvingChange(earlier, measured(3, sigma, both, random)).resolving!)) count++;
    }
    return count / pairs;
  }

  test.each([0.014, 0.04])(
    'the same distance twice, known to %d: 0 is inside in 95 of 100 pairs of sessions',
    (sigma) => {
      const inside = shareOf(({ verdict }) => verdict === 'no difference shown', 3, sigma, 7);
      // Three standard deviations of 4000 draws at 95 % are 1 %.
      expect(Math.abs(inside - 0.95)).toBeLessThan(0.011);
    },
  );

  test.each([0.014, 0.04])(
    'and the true difference of different distances, known to %d, likewise',
    (sigma) => {
      const inside = shareOf(({ lowM, highM }) => lowM! < 1 && highM! > 1, 2, sigma, 8);
      // Zou & Donner’s method is an approximation for lopsided intervals; they report coverage within 1 % of it.
      expect(Math.abs(inside - 0.95)).toBeLessThan(0.02);
    },
  );
});

describe('bounds', () => {
  const beyond = (distanceM: number) =>
    madeResolving(distanceM, { bound: 'beyond', lowM: null, highM: null });
  const nearer = (distanceM: number) =>
    madeResolving(distanceM, { bound: 'nearer', lowM: null, highM: null });

  test.each([
    // Interval of a distance within the shots: 0.1 below, 0.12 above.
    ['within 3, beyond 4', madeResolving(3), beyond(4), 'farther', 0.88, null],
    ['within 3, beyond 3.1', madeResolving(3), beyond(3.1), 'no difference shown', -0.02, null],
    ['beyond 4, within 3', beyond(4), madeResolving(3), 'nearer', null, -0.88],
    ['within 3, nearer than 2', madeResolving(3), nearer(2), 'nearer', null, -0.9],
    ['nearer than 2, within 3', nearer(2), madeResolving(3), 'farther', 0.9, null],
    ['nearer than 2, beyond 3', nearer(2), beyond(3), 'farther', 1, null],
    ['beyond 3, nearer than 2', beyond(3), nearer(2), 'nearer', null, -1],
    ['beyond 3, beyond 4', beyond(3), beyond(4), 'no difference shown', null, null],
    ['nearer than 1, nearer than 2', nearer(1), nearer(2), 'no difference shown', null, null],
    ['beyond 3, nearer than 4', beyond(3), nearer(4), 'no difference shown', null, 1],
  ] as const)('%s', (_, earlier, later, verdict, lowM, highM) => {
    const { resolving, findings } = resolvingChange(earlier, later);
    expect(resolving!.verdict).toBe(verdict);
    for (const [found, expected] of [
      [resolving!.lowM, lowM],
      [resolving!.highM, highM],
    ] as const) {
      if (expected === null) expect(found).toBeNull();
      else expect(Math.abs(found! - expected)).toBeLessThan(1e-12);
    }
    expect(codes(findings)).toContain('resolving-bound-only');
    expect(codes(findings).includes('bounds-leave-open')).toBe(verdict === 'no difference shown');
  });
});

test('another spacing: carried over by the angle', () => {
  const { resolving, findings } = resolvingChange(madeResolving(3), madeResolving(4, { spacingM: 0.08 }));
  // Twice as far for twice the spacing: 60 mm at 3 m are 80 mm at 4 m.
  expect(Math.abs(resolving!.earlierM - 4)).toBeLessThan(1e-12);
  expect(resolving!.verdict).toBe('no difference shown');
  // 0.12 m above 3 m become 0.16 m; standard deviations are 1.87 and 1.40 %, of which 1.3 % are the same: r = 0.6439.
  const both = 0.013 ** 2 / ((0.22 / 3.92 / 3) * (0.22 / 3.92 / 4));
  expect(Math.abs(both - 0.6439)).toBeLessThan(1e-4);
  expect(Math.abs(resolving!.lowM! + Math.sqrt(0.1 ** 2 + 0.16 ** 2 - 2 * both * 0.1 * 0.16))).toBeLessThan(
    1e-12,
  );
  const values = { earlierSpacingM: 0.06, laterSpacingM: 0.08, earlierDistanceM: 3 };
  expect(findings).toEqual([finding('spacings-differ', 'resolving', values)]);
});

test.each([
  [
    'no pairs earlier',
    null,
    madeResolving(3),
    finding('resolving-not-measured', 'resolving', { lacking: 'earlier' }),
  ],
  [
    'no pairs later',
    madeResolving(3),
    null,
    finding('resolving-not-measured', 'resolving', { lacking: 'later' }),
  ],
  ['no pairs', null, null, finding('resolving-not-measured', 'resolving', { lacking: 'both' })],
  [
    'another criterion',
    madeResolving(3),
    madeResolving(3, { criterion: 'sparrow', requiredDip: 0 }),
    finding('criteria-differ', 'resolving', {
      earlierCriterion: 'rayleigh',
      earlierRequiredDip: 0.265,
      laterCriterion: 'sparrow',
      laterRequiredDip: 0,
    }),
  ],
])('%s: not compared, and why', (_, earlier, later, why) => {
  const { resolving, findings } = resolvingChange(earlier, later);
  expect(resolving).toBeNull();
  expect(findings).toEqual([why]);
});

test.each([
  ['an interval that isn’t known', { lowM: null, highM: null }],
  ['intervals at different confidence', { confidence: 0.9 }],
])('%s: no difference is shown', (_, changes) => {
  const { resolving } = resolvingChange(madeResolving(2, changes), madeResolving(3));
  expect(resolving).toMatchObject({
    differenceM: 1,
    lowM: null,
    highM: null,
    verdict: 'no difference shown',
  });
});
