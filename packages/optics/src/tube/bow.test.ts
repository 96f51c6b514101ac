import { expect, test } from 'vitest';
import { bowFromEntranceSlopeMm, entranceSlope } from './bow.js';

test('a tube looks along the tangent of the circle through its ends and its middle', () => {
  // The arc's circle has the radius (L²/4 + h²)/(2h); at its end the tangent leans by asin(L/2 ÷ radius).
  const [lengthMm, bowMm] = [150, 1];
  const radiusMm = (lengthMm ** 2 / 4 + bowMm ** 2) / (2 * bowMm);
  const exact = -Math.tan(Math.asin(lengthMm / 2 / radiusMm));
  expect(Math.abs(entranceSlope({ boreMm: 2.5, lengthMm, bowMm }) / exact - 1)).toBeLessThan(1e-3);
  expect(entranceSlope({ boreMm: 2.5, lengthMm, bowMm: -bowMm })).toBeGreaterThan(0);
});

test('the bow is found again from where the tube looks', () => {
  const tube = { boreMm: 2.5, lengthMm: 150, bowMm: -0.8 };
  expect(bowFromEntranceSlopeMm(entranceSlope(tube), tube.lengthMm)).toBeCloseTo(-0.8, 12);
});

test.each([
  ['slope', () => bowFromEntranceSlopeMm(Number.NaN, 100)],
  ['lengthMm', () => bowFromEntranceSlopeMm(0.01, 0)],
])('names %s when it is bad', (name, call) => {
  expect(call).toThrow(new RegExp(`^${name} must`));
});
