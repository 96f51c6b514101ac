import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../../test/reference-table.js';
import { absorbingEvenThroughput, coaxialDiskViewFactor } from './view-factor.js';

describe('coaxialDiskViewFactor', () => {
  test.each(referenceTable('view-factor.csv'))('L/r = $L_over_r', (row) => {
    const length = Number(row.L_over_r);
    const factor = coaxialDiskViewFactor(1, 1, length);
    // Ten digits of the quadrature of another program; then its Monte Carlo of area pairs.
    expect(Math.abs(factor / Number(row.F_quad) - 1)).toBeLessThan(1e-9);
    expect(Math.abs(factor - Number(row.F_mc_area)) / Number(row.se_mc_area)).toBeLessThan(4);
    expect(absorbingEvenThroughput({ boreMm: 2, lengthMm: length })).toBe(factor);
  });

  test('unequal disks', () => {
    // Siegel & Howell, Thermal Radiation Heat Transfer, 4th ed., p. 845: 0.1339 for radii 0.1 and 0.2 at a gap of 0.5.
    expect(Math.abs(coaxialDiskViewFactor(0.1, 0.2, 0.5) - 0.1339)).toBeLessThan(5e-5);
  });

  test('is reciprocal: area × factor is the same both ways', () => {
    const size = fc.double({ min: 0.01, max: 100, noNaN: true });
    fc.assert(
      fc.property(size, size, size, (r1, r2, gap) => {
        const there = r1 * r1 * coaxialDiskViewFactor(r1, r2, gap);
        const back = r2 * r2 * coaxialDiskViewFactor(r2, r1, gap);
        expect(Math.abs(there / back - 1)).toBeLessThan(1e-6);
      }),
    );
  });

  test.each([
    ['radius1Mm', 0, 1, 1],
    ['radius2Mm', 1, -1, 1],
    ['gapMm', 1, 1, 0],
  ])('names %s when it is bad', (name, r1, r2, gap) => {
    expect(() => coaxialDiskViewFactor(r1, r2, gap)).toThrow(new RegExp(`^${name} must`));
  });
});
