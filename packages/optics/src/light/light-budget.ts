import { type ArrayGeometry, requireArray } from '../array/array.js';
import { rowStep } from '../array/layout.js';
import { requireInside, requirePositive } from '../check.js';

/** The f-number of a lens that would light the sheet as brightly, in both conventions in use. */
export interface EffectiveFNumber {
  /** Lens that meets the sine condition, E = π·radiance/(4N²): N = 1/(2√F). The one photographers mean. */
  readonly sine: number;
  /** Thin lens, E = π·radiance/(4N² + 1): N = ½√(1/F − 1). On the axis of a tube with a black wall it is L/d. */
  readonly thinLens: number;
}

/**
 * Effective f-number of whatever passes a share of the even light.
 *
 * @param throughput - sheet illuminance ÷ illuminance of the bare sheet, above 0 and at most 1: the even-light
 *   throughput of a tube inside its spot, or times {@link openAreaFraction} for the mean over the sheet
 *
 * Source: lens illuminance formula, Smith, Modern Optical Engineering, image illumination; from memory.
 */
export function effectiveFNumber(throughput: number): EffectiveFNumber {
  requirePositive('throughput', requireInside('throughput', throughput, 0, 1));
  return { sine: 0.5 / Math.sqrt(throughput), thinLens: 0.5 * Math.sqrt(1 / throughput - 1) };
}

/** Share of the sheet that lies behind bores: π/4·(d/pitch)², over √3/2 in a hexagonal array. */
export function openAreaFraction(array: ArrayGeometry): number {
  requireArray(array);
  const { tubeBoreMm, backPitchMm } = array;
  return ((Math.PI / 4) * (tubeBoreMm / backPitchMm) ** 2) / rowStep(array);
}

/** Stops of light lost from one f-number to another: 2·log2(to/from). */
export function stopsBetween(fromFNumber: number, toFNumber: number): number {
  return 2 * Math.log2(requirePositive('toFNumber', toFNumber) / requirePositive('fromFNumber', fromFNumber));
}

/** An exposure the builder knows: this scene on this paper or film through a lens. */
export interface KnownExposure {
  readonly fNumber: number;
  readonly exposureS: number;
}

/**
 * The same exposure at another f-number, seconds: t·(N2/N1)². Paper and film that tire in long exposures
 * (reciprocity failure) need more.
 *
 * @param fNumber - in the sine convention, as a lens has it engraved
 *
 * Source: ISO 2720, exposure ∝ t/N².
 */
export function scaledExposureS(known: KnownExposure, fNumber: number): number {
  requirePositive('exposureS', known.exposureS);
  const ratio = requirePositive('fNumber', fNumber) / requirePositive('known.fNumber', known.fNumber);
  return known.exposureS * ratio * ratio;
}
