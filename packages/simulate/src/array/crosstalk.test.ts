import { describe, expect, test } from 'vitest';
import { smallPlan } from '../fixtures/small-plan.js';
import { buildCrosstalk, mixCrosstalk, nominalKernel } from './crosstalk.js';
import { buildTubes } from './tubes.js';

const crosstalkOf = (changes: Record<string, string>) => {
  const plan = smallPlan(changes);
  return buildCrosstalk(plan, buildTubes(plan));
};

describe('crosstalk', () => {
  test.each([
    ['square', '', 8],
    ['hexagonal', 'shifted-rows: odd, ', 6],
  ])('a tube inside a %s array loses the stated share, to all sides alike', (arrangement, shifted, count) => {
    const array =
      `{ name: Test, arrangement: ${arrangement}, ${shifted}rows: 5, columns: 7, tube-length: 120 mm, ` +
      'tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }';
    const leaks = crosstalkOf({ array, build: '{ crosstalk: 0.02 }' })[2 * 7 + 3];
    expect(leaks).toHaveLength(count);
    expect(leaks.reduce((sum, leak) => sum + leak.share, 0)).toBeCloseTo(0.02, 12);
    const kernel = nominalKernel(smallPlan({ array }).array, 0.02);
    expect(kernel.reduce((sum, cell) => sum + cell.share * cell.across, 0)).toBeCloseTo(0, 12);
    expect(kernel.reduce((sum, cell) => sum + cell.share * cell.up, 0)).toBeCloseTo(0, 12);
  });

  test('a leak comes on top, and goes where the plan says', () => {
    const faults = '{ list: [{ fault: leaky, row: 3, column: 4, to: { row: 3, column: 6 }, share: 0.1 }] }';
    const leaks = crosstalkOf({ build: '{ crosstalk: 0.02 }', faults });
    const lit = leaks[2 * 7 + 3];
    expect(lit.find((leak) => leak.to === 2 * 7 + 5)?.share).toBeCloseTo(0.1, 12);
    expect(lit.reduce((sum, leak) => sum + leak.share, 0)).toBeCloseTo(0.12, 12);
  });

  test('mixing moves light and loses none, and leaves its input alone', () => {
    const leaks = crosstalkOf({ build: '{ crosstalk: 0.05, crosstalk-scatter: 0.3 }' });
    const passed = Float64Array.from({ length: 35 }, (_, i) => i * i);
    const before = passed.slice();
    const out = mixCrosstalk(passed, leaks);
    const sum = (values: Float64Array) => values.reduce((all, value) => all + value, 0);
    expect(sum(out)).toBeCloseTo(sum(passed), 9);
    expect(out).not.toEqual(passed);
    expect(passed).toEqual(before);
  });
});
