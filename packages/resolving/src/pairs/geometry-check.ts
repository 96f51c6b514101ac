import { NormalEquations } from '@twolamp/numeric';
import type { ArrayGeometry } from '@twolamp/optics';
import { inverse } from 'ml-matrix';
import { DIMENSIONS_UNCERTAINTY, OUTLIER_SHOT_SIGMAS, TAPE_UNCERTAINTY } from './tuning.js';

/** A separation with where it was seen. */
export interface SeparationAtDistance {
  readonly photo: string;
  readonly distanceMm: number;
  readonly spacingMm: number;
  readonly separationCells: number;
  readonly separationUncertainty: number;
}

/** A shot off the straight line, with the distance at which it would lie on it. */
export interface ShotOffLine {
  readonly photo: string;
  readonly statedMm: number;
  readonly likelyMm: number;
}

const LEAST_SHOTS = 3;

/**
 * Spacing ÷ separation is a straight line in the distance: front pitch + divergence · D. A shot off the line through the
 * others has a wrong stated distance or spacing.
 *
 * @returns none with three shots or fewer
 */
export function shotsOffLine(
  array: ArrayGeometry,
  separations: readonly SeparationAtDistance[],
): ShotOffLine[] {
  const outliers = new Set<SeparationAtDistance>();
  // One at a time, the worst first, since an outlier shifts the line and makes others look wrong.
  while (separations.length - outliers.size > LEAST_SHOTS) {
    const kept = separations.filter((one) => !outliers.has(one));
    const scores = kept.map((one) => {
      const line = fitLine(
        array,
        kept.filter((other) => other !== one),
      );
      const { spacing, sigma } = spacingOf(one);
      const expected = line.front + line.divergence * one.distanceMm;
      return Math.abs(spacing - expected) / Math.hypot(sigma, line.sigmaAt(one.distanceMm));
    });
    const worst = scores.indexOf(Math.max(...scores));
    if (scores[worst] < OUTLIER_SHOT_SIGMAS) break;
    outliers.add(kept[worst]);
  }
  if (outliers.size === 0) return [];
  const line = fitLine(
    array,
    separations.filter((one) => !outliers.has(one)),
  );
  return [...outliers].map((one) => ({
    photo: one.photo,
    statedMm: one.distanceMm,
    likelyMm: (spacingOf(one).spacing - line.front) / line.divergence,
  }));
}

/** Distance between neighbouring axes in the lamps' plane, mm. */
function spacingOf(one: SeparationAtDistance) {
  const spacing = one.spacingMm / one.separationCells;
  return {
    spacing,
    sigma: spacing * Math.hypot(one.separationUncertainty / one.separationCells, TAPE_UNCERTAINTY),
  };
}

function fitLine(array: ArrayGeometry, separations: readonly SeparationAtDistance[]) {
  const stated = array.frontPitchMm;
  const diverging = (stated - array.backPitchMm) / array.tubeLengthMm;
  const steepest = Math.max(diverging, stated / separations[0].distanceMm);
  const equations = new NormalEquations(2);
  equations.addPrior(0, 1 / (DIMENSIONS_UNCERTAINTY * stated) ** 2, stated);
  equations.addPrior(1, 1 / (DIMENSIONS_UNCERTAINTY * steepest) ** 2, diverging);
  for (const one of separations) {
    const { spacing, sigma } = spacingOf(one);
    equations.add([1, one.distanceMm], 1 / sigma ** 2, spacing);
  }
  const covariance = inverse(equations.matrix());
  const [front, divergence] = covariance.mmul(equations.column()).to1DArray();
  const variance = (distanceMm: number) =>
    covariance.get(0, 0) + 2 * distanceMm * covariance.get(0, 1) + distanceMm ** 2 * covariance.get(1, 1);
  return {
    front,
    divergence,
    sigmaAt: (distanceMm: number) => Math.sqrt(variance(distanceMm)),
  };
}
