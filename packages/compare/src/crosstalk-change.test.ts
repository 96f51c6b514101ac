import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { madeResult, trueTubes } from './fixtures/made-result.js';
import { crosstalkNotes } from './crosstalk-change.js';

const SIZE = { rows: 4, columns: 6 };
const random = seededRandom(9);
const BARE = madeResult(SIZE, trueTubes(SIZE, random), {}, random);

function tested(totals: readonly number[]) {
  const cells = BARE.cells.map((cell, index) => ({
    ...cell,
    crosstalk: index < totals.length ? { total: totals[index], worst: null } : null,
  }));
  return { ...BARE, cells };
}

const SIX = [0.0121, 0.0135, 0.011, 0.0142, 0.0128, 0.0119];
const FIVE = [0.0102, 0.0115, 0.0098, 0.0131, 0.0108];
const says = (earlier: readonly number[], later: readonly number[]) =>
  crosstalkNotes(tested(earlier), tested(later)).map((note) => note.says.replaceAll('\u00a0', ' '));

// scipy 1.17.1, ttest_ind(FIVE, SIX, equal_var=False).confidence_interval(): -0.003224 to 0.000217; means 0.01258, 0.01108.
test('the difference has Welch’s interval', () => {
  expect(says(SIX, FIVE)).toEqual([
    'Mean crosstalk 1.3 % earlier (6 tubes tested), 1.1 % later (5): no difference shown, 95 % interval of the difference \u22120.32 % to 0.022 %.',
  ]);
});

test.each([
  ['shrunk', SIX, FIVE.map((total) => total / 2), 'it has shrunk'],
  ['grown', FIVE, SIX.map((total) => total * 2), 'it has grown'],
  ['the same figures', [0.01, 0.01, 0.01, 0.01], [0.01, 0.01, 0.01, 0.01], 'no difference shown'],
  ['three tubes', SIX, FIVE.slice(0, 3), 'too few tubes tested'],
  ['no single shots earlier', [], FIVE, 'the earlier session has no single shots'],
  ['no single shots later', SIX, [], 'the later session has no single shots'],
])('%s', (_, earlier, later, words) => {
  expect(says(earlier, later)[0]).toContain(words);
});

test('no single shots at all: not a word', () => expect(says([], [])).toEqual([]));
