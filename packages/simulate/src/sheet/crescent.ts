import type { Place } from '@twolamp/optics';
import { brightnessAt, type SpotProfile } from './spot-profile.js';

/**
 * Light of a slanting beam that came straight through a tube: it fills what the bore and the beam's own circle have in
 * common, a lens or crescent on one side of the spot.
 */
export interface Crescent {
  /** lx·mm² */
  readonly light: number;
  /** Middle of the beam's circle against the middle of the bore, at the sheet. */
  readonly shift: Place;
}

const SHIFTS = 32;
const GRID = 80;

/**
 * Factor that makes the product of two blurred discs, one of them shifted, add up to 1 over the plane. The product
 * stands for the blurred common area of the two: the same but for the tips, where both rims are blurred together.
 *
 * @returns by the shift, mm; 0 where the discs no longer touch
 */
export function crescentFactor(profile: SpotProfile): (shiftMm: number) => number {
  const mostMm = 2 * profile.reachMm;
  const sums = Float64Array.from({ length: SHIFTS + 1 }, (_, i) =>
    productSum(profile, (i * mostMm) / SHIFTS),
  );
  return (shiftMm) => {
    const place = (shiftMm * SHIFTS) / mostMm;
    const i = Math.floor(place);
    if (i >= SHIFTS) return 0;
    const sum = sums[i] + (place - i) * (sums[i + 1] - sums[i]);
    return sum > 0 ? 1 / sum : 0;
  };
}

function productSum(profile: SpotProfile, shiftMm: number): number {
  const step = (2 * profile.reachMm) / GRID;
  let sum = 0;
  for (let i = 0; i < GRID; i++) {
    const x = -profile.reachMm + (i + 0.5) * step;
    for (let k = 0; k < GRID; k++) {
      const y = -profile.reachMm + (k + 0.5) * step;
      sum += brightnessAt(profile, x * x + y * y) * brightnessAt(profile, (x - shiftMm) ** 2 + y * y);
    }
  }
  return sum * step * step;
}
