import { evaluateProfile } from './profile.js';
import type { TubeData } from './tube-data.js';
import { type AcceptanceProfile, roundShape, type TubeShape } from './tube-shape.js';

/** Steps to each side. */
const STEPS_ASIDE = 3;
/** Distance of the centres tried, in mean radii of the acceptance. */
const STEP = 0.5;

/** Best-fitting height of a round acceptance around a centre, and its χ². */
export function fitHeight(
  acceptance: AcceptanceProfile,
  data: TubeData,
  across: number,
  up: number,
): { height: number; chi2: number } {
  const point = { value: 0, derivative: 0 };
  return bestHeight(data, null, (k) => {
    const x = data.across[k] - across;
    const y = data.up[k] - up;
    evaluateProfile(acceptance.profile, Math.sqrt(x * x + y * y), point);
    return point.value;
  });
}

/**
 * Best-fitting height of a shape, and its χ².
 *
 * @param leftOut - 1 for readings that are left out; null = none
 * @param passed - light of a reading's lamp that the shape passes at a height of 1
 */
export function bestHeight(
  { response, sigma }: TubeData,
  leftOut: Uint8Array | null,
  passed: (k: number) => number,
): { height: number; chi2: number } {
  let product = 0;
  let square = 0;
  let rest = 0;
  for (let k = 0; k < response.length; k++) {
    if (leftOut?.[k] === 1) continue;
    const value = passed(k);
    const weight = 1 / sigma[k] ** 2;
    product += weight * value * response[k];
    square += weight * value * value;
    rest += weight * response[k] ** 2;
  }
  const height = square > 0 ? Math.max(0, product / square) : 0;
  return { height, chi2: rest - height * product };
}

/** The best round acceptance with its centre on a grid around the lamp that lights the tube best. */
export function startShape(acceptance: AcceptanceProfile, data: TubeData): TubeShape {
  const best = data.response.indexOf(data.response.reduce((most, light) => Math.max(most, light)));
  const step = STEP * acceptance.meanRadius;
  let found = roundShape(0, data.across[best], data.up[best]);
  let least = Number.POSITIVE_INFINITY;
  for (let i = -STEPS_ASIDE; i <= STEPS_ASIDE; i++) {
    for (let j = -STEPS_ASIDE; j <= STEPS_ASIDE; j++) {
      const across = data.across[best] + i * step;
      const up = data.up[best] + j * step;
      const { height, chi2 } = fitHeight(acceptance, data, across, up);
      if (chi2 < least) {
        least = chi2;
        found = roundShape(height, across, up);
      }
    }
  }
  return found;
}
