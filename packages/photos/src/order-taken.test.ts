import { expect, test } from 'vitest';
import { orderTaken } from './order-taken.js';

const [FIRST, SECOND, THIRD] = ['2025-12-31T23:59:58', '2026-01-01T00:00:03', '2026-01-01T00:01:00'];

test.each([
  ['later names may be earlier photos', [THIRD, FIRST, SECOND], [1, 2, 0]],
  ['the same second leaves them as they are', [SECOND, FIRST, SECOND, FIRST], [1, 3, 0, 2]],
  ['a photo without a time leaves the order open', [SECOND, null, FIRST], null],
  ['none', [], []],
])('%s', (_, times, order) => {
  expect(orderTaken(times)).toEqual(order);
});
