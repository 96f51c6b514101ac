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

/** Whether the pair shots' separations agree with the array's stated dimensions and the tape measure. */
export interface GeometryCheck {
  /** Front pitch and divergence (front − back pitch over tube length) that the separations give. */
  readonly frontPitchMm: number;
  readonly frontPitchUncertaintyMm: number;
  readonly divergence: number;
  readonly divergenceUncertainty: number;
  /** Departures from the stated dimensions, in standard uncertainties. */
  readonly departure: { readonly frontPitch: number; readonly divergence: number };
  /** Shots off the line, with the distance at which they would lie on it. */
  readonly outliers: readonly {
    readonly photo: string;
    readonly statedMm: number;
    readonly likelyMm: number;
  }[];
}

/** Relative uncertainty of the stated dimensions, beforehand (common practice, no source). */
const LEAST_SHOTS = 3;

/**
 * Spacing ÷ separation is a straight line in the distance: front pitch + divergence · D. Fitted to the pair shots, it
 * checks the stated dimensions. A shot off the line through the others has a wrong stated distance or spacing.
 *
 * @returns null with fewer than three shots
 */
export function checkGeometry(
  array: ArrayGeometry,
  separations: readonly SeparationAtDistance[],
): GeometryCheck | null {
  if (separations.length < LEAST_SHOTS) return null;
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
  const line = fitLine(
    array,
    separations.filter((one) => !outliers.has(one)),
  );
  const stated = statedLine(array);
  return {
    frontPitchMm: line.front,
    frontPitchUncertaintyMm: line.frontSigma,
    divergence: line.divergence,
    divergenceUncertainty: line.divergenceSigma,
    departure: {
      frontPitch: (line.front - stated.front) / line.frontSigma,
      divergence: (line.divergence - stated.divergence) / line.divergenceSigma,
    },
    outliers: [...outliers].map((one) => ({
      photo: one.photo,
      statedMm: one.distanceMm,
      likelyMm: (spacingOf(one).spacing - line.front) / line.divergence,
    })),
  };
}

function statedLine(array: ArrayGeometry) {
  return {
    front: array.frontPitchMm,
    divergence: (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm,
  };
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
  const stated = statedLine(array);
  const typicalMm = separations[0].distanceMm;
  const known = [
    DIMENSIONS_UNCERTAINTY * stated.front,
    DIMENSIONS_UNCERTAINTY * Math.max(stated.divergence, stated.front / typicalMm),
  ];
  const equations = new NormalEquations(2);
  equations.addPrior(0, 1 / known[0] ** 2, stated.front);
  equations.addPrior(1, 1 / known[1] ** 2, stated.divergence);
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
    frontSigma: Math.sqrt(covariance.get(0, 0)),
    divergenceSigma: Math.sqrt(covariance.get(1, 1)),
    sigmaAt: (distanceMm: number) => Math.sqrt(variance(distanceMm)),
  };
}
