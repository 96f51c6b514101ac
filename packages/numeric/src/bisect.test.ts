import { describe, expect, test } from 'vitest';
import { bisect } from './bisect.js';

describe('bisect', () => {
  test('narrows around √2', () => {
    const { low, high } = bisect((x) => x * x < 2, 0, 2, 40);
    expect(low).toBeLessThanOrEqual(Math.SQRT2);
    expect(high).toBeGreaterThanOrEqual(Math.SQRT2);
    expect(high - low).toBe(2 ** -39);
  });

  test.each([
    { always: true, end: 1 },
    { always: false, end: 0 },
  ])('ends at an end where the condition is always $always', ({ always, end }) => {
    const { low, high } = bisect(() => always, 0, 1, 50);
    expect(Math.abs(low - end)).toBeLessThan(1e-14);
    expect(Math.abs(high - end)).toBeLessThan(1e-14);
  });
});
