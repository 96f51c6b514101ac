import { expect, test } from 'vitest';
import { leakedLight } from './leaked-light.js';

// Of light 1 that enters the first tube, 0.3 comes out of others, 0.2 of it of the second: what it shows itself is 0.7.
test('light that leaks is a share of all that entered, not of what is left', () => {
  const relative = Float64Array.of(0.7, 1.2, 1);
  const leaks = [{ total: 0.3, worst: { cell: 1, share: 0.2 }, leaky: true }, null, null];
  const lent = leakedLight(relative, leaks);
  expect([...lent].map((light) => Number(light.toFixed(12)))).toEqual([0, 0.2, 0]);
  expect([...leakedLight(relative, [{ ...leaks[0]!, leaky: false }, null, null])]).toEqual([0, 0, 0]);
});
