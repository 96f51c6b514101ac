import { seededRandom } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { expect, test } from 'vitest';
import { madeResult, trueTubes } from './fixtures/made-result.js';
import { crosstalkFindings } from './crosstalk-change.js';

const SIZE = { rows: 4, columns: 6 };
const random = seededRandom(9);
const BARE = madeResult(SIZE, trueTubes(SIZE, random), {}, random);

function tested(totals: readonly number[]): Result {
  const cells = BARE.cells.map((cell, index) => ({
    ...cell,
    crosstalk: index < totals.length ? { total: totals[index], totalUncertainty: 0.001, worst: null } : null,
  }));
  return { ...BARE, cells };
}

const SIX = [0.0121, 0.0135, 0.011, 0.0142, 0.0128, 0.0119];
const FIVE = [0.0102, 0.0115, 0.0098, 0.0131, 0.0108];
const found = (earlier: readonly number[], later: readonly number[]) =>
  crosstalkFindings(tested(earlier), tested(later));

// scipy 1.17.1, ttest_ind(FIVE, SIX, equal_var=False).confidence_interval(): -0.003224 to 0.000217; means 0.01258, 0.01108.
test('the difference has Welch’s interval', () => {
  const [one] = found(SIX, FIVE);
  expect(one).toMatchObject({ code: 'crosstalk-compared', values: { earlierTubes: 6, laterTubes: 5 } });
  const { earlierMean, laterMean, low, high } = one.values as Record<string, number>;
  expect(Math.abs(earlierMean - 0.01258)).toBeLessThan(5e-6);
  expect(Math.abs(laterMean - 0.01108)).toBeLessThan(5e-6);
  expect(Math.abs(low + 0.003224)).toBeLessThan(1e-6);
  expect(Math.abs(high - 0.000217)).toBeLessThan(1e-6);
});

test.each([
  ['shrunk', SIX, FIVE.map((total) => total / 2), -1, -1],
  ['grown', FIVE, SIX.map((total) => total * 2), 1, 1],
  ['the same figures', [0.01, 0.01, 0.01, 0.01], [0.01, 0.01, 0.01, 0.01], 0, 0],
])('%s', (_, earlier, later, low, high) => {
  const { values } = found(earlier, later)[0] as { values: Record<string, number> };
  expect([Math.sign(values.low), Math.sign(values.high)]).toEqual([low, high]);
});

test.each([
  ['three tubes', SIX, FIVE.slice(0, 3), 'crosstalk-few-tubes', { laterTubes: 3 }],
  ['no single shots earlier', [], FIVE, 'crosstalk-not-compared', { lacking: 'earlier' }],
  ['no single shots later', SIX, [], 'crosstalk-not-compared', { lacking: 'later' }],
])('%s', (_, earlier, later, code, values) => {
  expect(found(earlier, later)).toMatchObject([{ code, values }]);
});

test('no single shots at all: nothing', () => expect(found([], [])).toEqual([]));
