import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../../test/reference-table.js';
import { fresnelReflectance } from './fresnel.js';

const MATERIALS = [
  { column: 'n1.5', index: 1.5, extinction: 0 },
  { column: 'n1.5+0.01i', index: 1.5, extinction: 0.01 },
  { column: 'n1.5+0.1i', index: 1.5, extinction: 0.1 },
  { column: 'n1.5+0.5i', index: 1.5, extinction: 0.5 },
  { column: 'n1.8+0.6i', index: 1.8, extinction: 0.6 },
];

describe('fresnelReflectance', () => {
  describe.each(referenceTable('fresnel.csv'))('at $angle_deg° (datasets/reference/fresnel.csv)', (row) => {
    test.each(MATERIALS)('$column', ({ column, index, extinction }) => {
      const { s, p, unpolarised } = fresnelReflectance(
        (Number(row.angle_deg) * Math.PI) / 180,
        index,
        extinction,
      );
      // The table has eight digits, its Brewster angle eight.
      expect(Math.abs(s - Number(row[`${column}_Rs`]))).toBeLessThan(1e-8);
      expect(Math.abs(p - Number(row[`${column}_Rp`]))).toBeLessThan(1e-8);
      expect(Math.abs(unpolarised - Number(row[`${column}_R`]))).toBeLessThan(1e-8);
    });
  });

  const index = fc.double({ min: 1.01, max: 4, noNaN: true });
  const extinction = fc.double({ min: 0, max: 5, noNaN: true });

  test('normal incidence: ((n − 1)² + k²)/((n + 1)² + k²)', () => {
    fc.assert(
      fc.property(index, extinction, (n, k) => {
        const exact = ((n - 1) ** 2 + k * k) / ((n + 1) ** 2 + k * k);
        const { s, p } = fresnelReflectance(0, n, k);
        expect(Math.abs(s - exact)).toBeLessThan(1e-12);
        expect(Math.abs(p - exact)).toBeLessThan(1e-12);
      }),
    );
  });

  test("Brewster's angle: no p, and s = ((n² − 1)/(n² + 1))²", () => {
    fc.assert(
      fc.property(index, (n) => {
        const { s, p } = fresnelReflectance(Math.atan(n), n, 0);
        expect(p).toBeLessThan(1e-12);
        expect(Math.abs(s - ((n * n - 1) / (n * n + 1)) ** 2)).toBeLessThan(1e-12);
      }),
    );
  });

  test('45°: p = s² for a transparent material', () => {
    fc.assert(
      fc.property(index, (n) => {
        const { s, p } = fresnelReflectance(Math.PI / 4, n, 0);
        expect(Math.abs(p - s * s)).toBeLessThan(1e-12);
      }),
    );
  });

  test('grazing incidence: everything', () => {
    fc.assert(
      fc.property(index, extinction, (n, k) => {
        expect(fresnelReflectance(Math.PI / 2, n, k).unpolarised).toBeGreaterThan(1 - 1e-12);
      }),
    );
  });

  test('never below 0 nor above 1', () => {
    const angle = fc.double({ min: 0, max: Math.PI / 2, noNaN: true });
    fc.assert(
      fc.property(angle, fc.double({ min: 0.2, max: 4, noNaN: true }), extinction, (theta, n, k) => {
        const { s, p } = fresnelReflectance(theta, n, k);
        for (const share of [s, p]) {
          expect(share).toBeGreaterThanOrEqual(-1e-12);
          expect(share).toBeLessThanOrEqual(1 + 1e-12);
        }
      }),
    );
  });

  test.each([
    ['incidenceRad', 2, 1.5, 0],
    ['index', 0, 0, 0],
    ['extinction', 0, 1.5, -1],
  ])('names %s when it is bad', (name, angle, n, k) => {
    expect(() => fresnelReflectance(angle, n, k)).toThrow(new RegExp(`^${name} must`));
  });
});
