import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { compareResults } from './compare-results.js';
import { madeResult, type TrueTube, trueTubes } from './fixtures/made-result.js';

const PANEL = { rows: 8, columns: 11 };
const random = seededRandom(4);
const TUBES = trueTubes(PANEL, random);

/** Findings about the fingerprint when the second session shows these tubes. */
function found(later: readonly TrueTube[]) {
  const results = [TUBES, later].map((tubes) => madeResult(PANEL, tubes, {}, random));
  return compareResults(results[0]!, results[1]!).findings.filter(({ code }) =>
    ['array-seen-otherwise', 'fingerprints-differ'].includes(code),
  );
}

const seen = (values: object) => [{ code: 'array-seen-otherwise', about: 'tubes', values }];
const still = { acrossPitches: 0, upPitches: 0 };
test.each([
  ['as before', TUBES, []],
  ['on its head', [...TUBES].reverse(), seen({ ...still, mirrored: false, turnedDeg: 180 })],
  [
    'from the front',
    TUBES.map((_, n) => TUBES[n - 2 * (n % PANEL.columns) + PANEL.columns - 1]!),
    seen({ ...still, mirrored: true, turnedDeg: 0 }),
  ],
  [
    'with other tubes',
    trueTubes(PANEL, seededRandom(5)),
    [{ code: 'fingerprints-differ', about: 'tubes', values: {} }],
  ],
])('the array shows %s', (_, later, findings) => {
  expect(found(later)).toEqual(findings);
});
