import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { absorbingTransmission } from './absorbing.js';
import { mirrorTransmission } from './mirror-tube.js';

const tube = { boreMm: 2.5, lengthMm: 150 };
const slopes = fc.double({ min: -0.3, max: 0.3, noNaN: true });
const plastic = { index: 1.5, extinction: 0 };

describe('mirrorTransmission', () => {
  test('without gloss it is the overlap of two circles', () => {
    fc.assert(
      fc.property(slopes, (slope) => {
        const difference =
          mirrorTransmission(slope, tube, { ...plastic, gloss: 0 }) - absorbingTransmission(slope, tube);
        // The integrand has a kink, which costs Simpson's rule with 200 panels about a panel's square.
        expect(Math.abs(difference)).toBeLessThan(1e-4);
      }),
    );
  });

  test('a perfect mirror (conductor without loss) passes everything', () => {
    fc.assert(
      fc.property(slopes, (slope) => {
        const passed = mirrorTransmission(slope, tube, { index: 1, extinction: 1e7, gloss: 1 });
        expect(Math.abs(passed - 1)).toBeLessThan(1e-4);
      }),
    );
  });

  test('glossier walls pass more, and none less than a black one', () => {
    const gloss = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(slopes, gloss, gloss, (slope, a, b) => {
        const less = mirrorTransmission(slope, tube, { ...plastic, gloss: Math.min(a, b) });
        const more = mirrorTransmission(slope, tube, { ...plastic, gloss: Math.max(a, b) });
        expect(more).toBeGreaterThanOrEqual(less - 1e-12);
        expect(less).toBeGreaterThanOrEqual(absorbingTransmission(slope, tube) - 1e-4);
      }),
    );
  });

  test('refuses a wall that scatters', () => {
    expect(() => mirrorTransmission(0.01, tube, { ...plastic, gloss: 1, diffuse: 0.1 })).toThrow(
      /^wall.diffuse must be 0/,
    );
  });

  test('names the slope when it is bad', () => {
    expect(() => mirrorTransmission(Number.NaN, tube, 'glossy black')).toThrow(/^slope must/);
  });
});
