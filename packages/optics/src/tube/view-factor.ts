import { requirePositive } from '../check.js';
import { requireTube, type TubeSize } from './tube.js';

/**
 * Share of the Lambertian light of one disk that reaches a second, parallel disk on the same axis.
 *
 * @param radius1Mm - the disk that shines
 * @param radius2Mm - the disk that is lit
 * @param gapMm - distance between the two
 *
 * Source: Howell, A Catalog of Radiation Heat Transfer Configuration Factors, C-41 (equal radii: C-40). Written
 * without the difference of two nearly equal numbers that the printed form has for small disks.
 */
export function coaxialDiskViewFactor(radius1Mm: number, radius2Mm: number, gapMm: number): number {
  const r1 = requirePositive('radius1Mm', radius1Mm) / requirePositive('gapMm', gapMm);
  const r2 = requirePositive('radius2Mm', radius2Mm) / gapMm;
  const sum = 1 + r1 * r1 + r2 * r2;
  return (2 * r2 * r2) / (sum + Math.sqrt(sum * sum - 4 * r1 * r1 * r2 * r2));
}

/** Share of the even (Lambertian) light into the bore that a straight tube with a black wall lets through; about (r/L)² for long tubes. */
export function absorbingEvenThroughput(tube: TubeSize): number {
  const { boreMm, lengthMm } = requireTube(tube);
  return coaxialDiskViewFactor(boreMm / 2, boreMm / 2, lengthMm);
}
