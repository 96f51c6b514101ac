import { requireFinite } from '../check.js';
import { requireTube, type TubeSize } from './tube.js';

/**
 * Shift, in bores, at which two equal circles share half their area: the half maximum of a tube with a black wall.
 * Source: OEIS A133741 (twice this number).
 */
export const HALF_MAXIMUM_SHIFT = 0.8079455065990344 / 2;

/**
 * Shared area of two equal circles whose centres lie `shift` diameters apart, as a share of one of them.
 *
 * Source: Weisstein, MathWorld, "Circle-Circle Intersection".
 */
export function circleOverlap(shift: number): number {
  const u = Math.abs(shift);
  return u >= 1 ? 0 : (2 / Math.PI) * (Math.acos(u) - u * Math.sqrt(1 - u * u));
}

/**
 * Share of a parallel beam that a straight tube with a black wall lets through.
 *
 * A beam off the axis by α reaches the far end shifted by L·tan α, so what leaves is the overlap of two equal
 * circles. Holds for a bore much wider than a wavelength.
 *
 * @param slope - tan α, α between beam and axis; its sign does not matter
 * @returns light out / light into the bore, 0 to 1
 * @throws RangeError if bore or length is not above 0, or the slope is not finite
 */
export function absorbingTransmission(slope: number, tube: TubeSize): number {
  requireFinite('slope', slope);
  const { boreMm, lengthMm } = requireTube(tube);
  return circleOverlap((lengthMm * slope) / boreMm);
}

/** Full width at half maximum of {@link absorbingTransmission}, radians; about 0.808 d/L. */
export function absorbingWidthRad(tube: TubeSize): number {
  const { boreMm, lengthMm } = requireTube(tube);
  return 2 * Math.atan((HALF_MAXIMUM_SHIFT * boreMm) / lengthMm);
}
