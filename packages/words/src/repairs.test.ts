import { expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { repairAnswer } from './repairs.js';

const example = exampleResult();
const resolving = { ...example.resolving!, distanceM: 1.3352, lowM: 1.296, highM: 1.394 };
const repairs = [
  {
    tubes: example.pull.length,
    light: 0.024,
    lightUncertainty: 0.001,
    dip: 0.014,
    dipUncertainty: 0.002,
    fartherM: 0.0286,
    fartherUncertaintyM: 0.004,
  },
];

test('the gain is told beside the resolving distance as it is told elsewhere', () => {
  const { headline, details } = repairAnswer({ ...example, resolving, repairs })!;
  expect(headline).toContain('29\u00a0±\u00a04\u00a0mm farther away than now (1.34\u00a0m).');
  expect(details[0]).toContain('± 0.05\u00a0m');
});

test('where the first tubes alone bring less, the page says why', () => {
  const less = repairs.map((one, n) => (n === 0 ? { ...one, dip: -0.0019, dipUncertainty: 0.0003 } : one));
  const says = (list: typeof repairs) =>
    repairAnswer({ ...example, resolving, repairs: list })!.details.join(' ');
  expect(says(less)).toContain('A minus in the table:');
  expect(says(repairs)).not.toContain('minus');
});
