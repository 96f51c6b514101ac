import { requireNotNegative } from '../check.js';
import { discPoints } from '../disc-points.js';
import type { Acceptance } from '../tube/acceptance.js';
import type { TubeSize } from '../tube/tube.js';
import { straightAcceptance } from './straight-acceptance.js';

/** Directions over which the scatter is averaged; a pointed top is then good to some 0.1 % of itself. */
const DIRECTIONS = 256;

/**
 * The mean acceptance of many straight tubes that look past where they should.
 *
 * A pointed top loses in proportion to the scatter, flanks hardly: widths alone don't tell what scatter costs.
 *
 * @param acceptance - of one such tube, radial
 * @param tube - its size, for the steps of the table
 * @param sigma - standard deviation of the directions along each axis, as a slope
 * @throws RangeError where sigma is below 0
 *
 * Directions are quantiles of the normal distribution's radius, σ√(−2 ln(1 − p)), spread like a sunflower's seeds.
 */
export function blurredAcceptance(acceptance: Acceptance, tube: TubeSize, sigma: number): Acceptance {
  if (requireNotNegative('sigma', sigma) === 0) return acceptance;
  const astray = discPoints(DIRECTIONS).map(({ x, y }) => {
    const share = x * x + y * y;
    const stretch = sigma * Math.sqrt((-2 * Math.log(1 - share)) / share);
    return { across: x * stretch, up: y * stretch };
  });
  return straightAcceptance(
    tube,
    (slope) =>
      astray.reduce((sum, { across, up }) => sum + acceptance.at(slope + across, up), 0) / DIRECTIONS,
  );
}
