import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../../test/reference-table.js';
import { seededRandom } from '../random.js';
import { absorbingTransmission } from '../tube/absorbing.js';
import { mirrorTransmission } from '../tube/mirror-tube.js';
import type { Wall } from '../tube/tube.js';
import { absorbingEvenThroughput } from '../tube/view-factor.js';
import { type Light, type TraceResult, traceTube } from './trace-tube.js';

const EVEN: Light = { kind: 'even' };
const scattering = (diffuse: number): Wall => ({ index: 1.5, extinction: 0, gloss: 0, diffuse });
const glossy = (gloss: number): Wall => ({ index: 1.5, extinction: 0, gloss });
const beam = (slopeAcross: number, slopeUp = 0): Light => ({ kind: 'beam', slopeAcross, slopeUp });

/** Difference from the right answer in standard errors of the run. */
const sigmas = (result: TraceResult, exact: number) =>
  Math.abs(result.transmission - exact) / result.standardError;

describe('a wall that scatters all light (Clausing)', () => {
  const rows = new Map(referenceTable('clausing.csv').map((row) => [Number(row.L_over_r), row]));
  test.each([0.1, 0.5, 1, 2, 4, 5, 9, 10, 20, 50])('L/r = %d', (lengthInRadii) => {
    const row = rows.get(lengthInRadii)!;
    const tube = { boreMm: 2, lengthMm: lengthInRadii };
    const result = traceTube(tube, scattering(1), EVEN, 40_000, seededRandom(11));
    expect(result.standardError).toBeLessThan(0.04 * result.transmission);
    expect(sigmas(result, Number(row.T_this))).toBeLessThan(4);
    // Cole's published table; above L/r = 9 it lies 0.02 to 0.07 % low, well inside this run's error.
    if (row.cole1977 !== '') expect(sigmas(result, Number(row.cole1977))).toBeLessThan(4);
  });
});

describe('a wall that scatters some of the light', () => {
  const cases = referenceTable('clausing-lossy.csv').flatMap((row) =>
    [0.02, 0.05, 0.2].map((rho) => ({
      ratio: Number(row.L_over_d),
      rho,
      exact: Number(row[`rho${rho}`]),
    })),
  );
  test.each(cases)('L/d = $ratio, reflectance $rho', ({ ratio, rho, exact }) => {
    const tube = { boreMm: 1, lengthMm: ratio };
    const result = traceTube(tube, scattering(rho), EVEN, 80_000, seededRandom(12));
    expect(result.standardError).toBeLessThan(0.05 * exact);
    expect(sigmas(result, exact)).toBeLessThan(4);
  });
});

describe('a black wall', () => {
  test.each([1, 5, 20, 60])('in even light, L/d = %d: view factor of two disks', (ratio) => {
    const tube = { boreMm: 2.5, lengthMm: 2.5 * ratio };
    const result = traceTube(tube, 'matte black', EVEN, 400_000, seededRandom(13));
    expect(result.standardError).toBeLessThan(0.015 * result.transmission);
    expect(sigmas(result, absorbingEvenThroughput(tube))).toBeLessThan(4);
  });

  test.each([0.1, 0.4039727532995172, 0.7, 0.95])('in a beam %d bores off: overlap of two circles', (u) => {
    const tube = { boreMm: 2.5, lengthMm: 150 };
    const slope = (u * tube.boreMm) / tube.lengthMm;
    const result = traceTube(tube, 'matte black', beam(0.6 * slope, -0.8 * slope), 200_000, seededRandom(14));
    expect(sigmas(result, absorbingTransmission(slope, tube))).toBeLessThan(4);
  });

  test('beyond the cut-off nothing passes', () => {
    expect(
      traceTube({ boreMm: 1, lengthMm: 10 }, 'matte black', beam(0.101), 1000, seededRandom(15)).transmission,
    ).toBe(0);
  });

  test.each([200, 600, 1800])('lamp at %d mm: overlap of two unequal circles', (distanceMm) => {
    // From the lamp the far end looks smaller by q = D/(D + L): circles of radii r and qr, their centres
    // x·L/(D + L) apart. Area: Weisstein, MathWorld, "Circle-Circle Intersection".
    const [boreMm, lengthMm] = [2.5, 150];
    const r = boreMm / 2;
    const small = (r * distanceMm) / (distanceMm + lengthMm);
    for (const share of [0, 0.3, 0.5, 0.7]) {
      const acrossMm = (share * boreMm * (distanceMm + lengthMm)) / lengthMm;
      const apart = share * boreMm;
      const light: Light = { kind: 'lamp', acrossMm, upMm: 0, distanceMm };
      const result = traceTube({ boreMm, lengthMm }, 'matte black', light, 100_000, seededRandom(16));
      expect(sigmas(result, lens(r, small, apart) / (Math.PI * r * r))).toBeLessThan(4);
    }
  });
});

function lens(R: number, r: number, d: number): number {
  if (d >= R + r) return 0;
  if (d <= R - r) return Math.PI * r * r;
  return (
    r * r * Math.acos((d * d + r * r - R * R) / (2 * d * r)) +
    R * R * Math.acos((d * d + R * R - r * r) / (2 * d * R)) -
    0.5 * Math.sqrt((-d + r + R) * (d + r - R) * (d - r + R) * (d + r + R))
  );
}

describe('a mirror', () => {
  const perfect: Wall = { index: 1, extinction: 1e7, gloss: 1 };
  test.each<[string, number, Light]>([
    ['straight, in even light', 0, EVEN],
    ['straight, in a beam', 0, beam(0.2, 0.1)],
    ['bowed, in a beam', 1.5, beam(0.02, 0.01)],
    ['bowed, along its tangent', 2, beam((-4 * 2) / 150)],
  ])('without loss passes everything: %s', (_, bowMm, light) => {
    const result = traceTube({ boreMm: 2.5, lengthMm: 150, bowMm }, perfect, light, 4000, seededRandom(17));
    // A conductor with k = 1e7 loses 4n/k² of the light at normal incidence and up to 4n·√2/k at grazing.
    expect(Math.abs(result.transmission - 1)).toBeLessThan(Math.max(1e-4, 4 * result.standardError));
  });

  test.each([0.01, 0.03, 0.07, 0.4])('glossy wall at slope %d: the integral over chords', (slope) => {
    const tube = { boreMm: 2.5, lengthMm: 150 };
    for (const gloss of [0.5, 1]) {
      const result = traceTube(tube, glossy(gloss), beam(slope), 100_000, seededRandom(18));
      const exact = mirrorTransmission(slope, tube, glossy(gloss));
      expect(Math.abs(result.transmission - exact)).toBeLessThan(4 * result.standardError + 1e-5);
    }
  });

  test('the way bounce by bounce agrees with the bounces counted at once', () => {
    // A trace of scattering, and a trace of bow, each switch to the general ray loop.
    const tube = { boreMm: 2.5, lengthMm: 150 };
    const exact = mirrorTransmission(0.04, tube, glossy(0.9));
    const nearly = [
      traceTube(tube, { ...glossy(0.9), diffuse: 1e-9 }, beam(0.04), 50_000, seededRandom(19)),
      traceTube({ ...tube, bowMm: 1e-9 }, glossy(0.9), beam(0.04), 50_000, seededRandom(20)),
    ];
    for (const result of nearly) {
      expect(sigmas(result, exact)).toBeLessThan(4);
      expect(result.bounces).toBeGreaterThan(100_000);
    }
  });
});

describe('arguments', () => {
  const tube = { boreMm: 1, lengthMm: 10 };
  const random = seededRandom(1);
  test.each([
    ['rays', () => traceTube(tube, 'glossy black', EVEN, 1, random)],
    ['boreMm', () => traceTube({ ...tube, boreMm: -1 }, 'glossy black', EVEN, 10, random)],
    ['gloss', () => traceTube(tube, glossy(2), EVEN, 10, random)],
    ['slopeUp', () => traceTube(tube, 'glossy black', beam(0, Number.NaN), 10, random)],
    [
      'distanceMm',
      () =>
        traceTube(tube, 'glossy black', { kind: 'lamp', acrossMm: 0, upMm: 0, distanceMm: 0 }, 10, random),
    ],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
