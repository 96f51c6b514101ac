import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../../test/reference-table.js';
import { dipOfProfile } from './profile-dip.js';

/** Bessel's J1 by its integral, (1/π) ∫ cos(φ − x sin φ) dφ over 0..π (DLMF 10.9.2); the trapezoidal rule is exact here. */
function besselJ1(x: number): number {
  const steps = 200;
  let sum = 0;
  for (let n = 0; n < steps; n++) {
    const angle = (Math.PI * (n + 0.5)) / steps;
    sum += Math.cos(angle - x * Math.sin(angle));
  }
  return sum / steps;
}

// Units: sigma for the Gaussian; λ/D for Airy's disk and the slit.
const SPOTS: Record<string, (x: number) => number> = {
  gauss: (x) => Math.exp((-x * x) / 2),
  airy: (x) => (x === 0 ? 1 : ((2 * besselJ1(Math.PI * x)) / (Math.PI * x)) ** 2),
  slit: (x) => (x === 0 ? 1 : (Math.sin(Math.PI * x) / (Math.PI * x)) ** 2),
};

function pairOf(kind: string, separation: number) {
  const spot = SPOTS[kind];
  const light = (x: number) => spot(x - separation / 2) + spot(x + separation / 2);
  return dipOfProfile(light, separation / 2, 0.5);
}

describe('dipOfProfile', () => {
  test.each([
    // 1 − 0.7350317 at 1.2196699 λ/D, the Rayleigh criterion; Born & Wolf, section 8.6.2 (0.735).
    { kind: 'airy', separation: 1.219669891, dip: 1 - 0.7350317 },
    // 1 − 8/π² at λ/D; Born & Wolf, section 8.6.2 (0.81).
    { kind: 'slit', separation: 1, dip: 1 - 8 / Math.PI ** 2 },
  ])('two $kind images at the Rayleigh separation', ({ kind, separation, dip }) => {
    expect(Math.abs(pairOf(kind, separation).dip - dip)).toBeLessThan(1e-6);
  });

  // Computed with scipy; source in the table's first line.
  test.each(referenceTable('rayleigh.csv'))('two $kind images $separation apart', (row) => {
    const found = pairOf(row.kind, Number(row.separation));
    expect(Math.abs(found.valley / Math.min(...found.peaks) - Number(row.valley_over_peak))).toBeLessThan(
      2e-5,
    );
    expect(Math.abs(found.dip - (1 - Number(row.valley_over_peak)))).toBeLessThan(2e-5);
  });

  test('unequal peaks: the lesser one counts', () => {
    // Slope −x (x + 1)(x − 0.8): peaks at −1 and 0.8, valley at 0 between them.
    const light = (x: number) => 2 - (x ** 4 / 4 + (0.2 * x ** 3) / 3 - 0.4 * x ** 2);
    const found = dipOfProfile(light, 1, 0.5);
    expect(found.valley).toBeCloseTo(2, 6);
    expect(found.peaks[0]).toBeCloseTo(light(-1), 6);
    expect(found.peaks[1]).toBeCloseTo(light(0.8), 6);
    expect(found.dip).toBeCloseTo(1 - 2 / light(0.8), 6);
  });

  test.each([
    { name: 'a slope', light: (x: number) => 3 + x },
    { name: 'one peak in the middle', light: (x: number) => 2 - Math.abs(x) },
    { name: 'no light', light: () => 0 },
  ])('$name has no dip', ({ light }) => {
    expect(dipOfProfile(light, 1, 0.5).dip).toBe(0);
  });
});
