import { describe, expect, test } from 'vitest';
import { normalTail } from './normal-tail.js';

// scipy 1.17.1, scipy.stats.norm.sf.
const TAILS = [
  [-1.5, 0.9331927987311419],
  [0, 0.5],
  [1, 0.15865525393145707],
  [2.9, 0.0018658133003840375],
  [3.1, 0.0009676032132183563],
  [6, 9.865876450376946e-10],
  [12, 1.776482112077653e-33],
] as const;

describe('normalTail', () => {
  test.each(TAILS)('z = %d → %d', (z, tail) => {
    expect(Math.abs(normalTail(z) / tail - 1)).toBeLessThan(1e-4);
  });

  test('NaN stays NaN', () => expect(normalTail(Number.NaN)).toBeNaN());
});
