import { finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { SMALL_ARRAY, typicalResult } from './fixtures/results.js';
import { previewExposure } from './exposure.js';

const withAbsolute = (absolute: number) =>
  typicalResult(SMALL_ARRAY, 1, ({ transmission }) => ({
    transmission: { ...transmission, absolute, absoluteUncertainty: 0.02 * absolute },
  }));
const LENS = { fNumber: 8, exposureS: 180 };

describe('previewExposure', () => {
  // E = π·radiance·F against π·radiance/(4N²): F = 1/1600 is f/20, and f/8 to f/20 is 6.25 times the time.
  test('measured light against a lens the builder knows', () => {
    const { exposure, findings } = previewExposure(withAbsolute(1 / 1600), 0.5, LENS);
    expect(exposure!.basis).toBe('measured');
    expect(exposure!.fNumber).toBeCloseTo(20, 9);
    expect(exposure!.fNumberUncertainty).toBeCloseTo(0.2, 9);
    const known = exposure!.known!;
    expect(known.exposureS).toBeCloseTo(1125, 6);
    expect(known.exposureUncertaintyS).toBeCloseTo(22.5, 6);
    expect(known.stops).toBeCloseTo(Math.log2(6.25), 9);
    expect(findings).toEqual([finding('reciprocity-left-out', 'exposure', {})]);
  });

  test('without a bare shot: predicted, without an uncertainty, and it says so', () => {
    const { exposure, findings } = previewExposure(typicalResult(SMALL_ARRAY, 1), 1 / 400, undefined);
    expect(exposure).toEqual({ fNumber: 10, fNumberUncertainty: null, basis: 'predicted', known: null });
    expect(findings).toEqual([finding('exposure-predicted', 'exposure', {})]);
  });

  test('more light than falls in is no figure', () => {
    const { exposure, findings } = previewExposure(withAbsolute(1.2), 0.5, LENS);
    expect(exposure).toBeNull();
    expect(findings).toEqual([finding('exposures-contradict', 'exposure', {})]);
  });
});
