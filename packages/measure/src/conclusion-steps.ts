import { NAMED_WALLS, resolveWall, type Wall } from '@twolamp/optics';
import type { ArraySpec, Resolving } from '@twolamp/session';
import {
  ANY_DIP,
  type MeasuredResolving,
  measurePairs,
  type PairsInput,
  type PairsMeasured,
} from '@twolamp/resolving';
import { randomFor } from './random-streams.js';
import type { WallEstimate } from './wall/estimate-wall.js';
import { predictResolving } from './wall/predict-resolving.js';

/** Two lamps whose resolving distance was measured, and what tubes they were seen through. */
export interface PredictionInput {
  readonly array: ArraySpec;
  readonly resolving: MeasuredResolving;
  readonly wall: WallEstimate | null;
}

/** What theory says of a resolving distance. */
export type Prediction = Pick<Resolving, 'predictedDistanceM' | 'predictedDistanceUncertaintyM'>;

const MM_PER_M = 1000;
/** Range in which a resolving distance is predicted. */
const PREDICTED_RANGE = { nearestMm: 50, farthestMm: 100_000 };

/** Predicts the resolving distance; its uncertainty is half its difference between both ends of the gloss's. */
function predict({ array, resolving, wall }: PredictionInput): Prediction {
  const theory: Wall =
    wall?.wall ?? (array.tubeWall ? resolveWall(array.tubeWall) : NAMED_WALLS['matte black']);
  const predictAt = (gloss: number): number | null => {
    const found = predictResolving(
      array,
      { ...theory, gloss },
      {
        spacingMm: resolving.spacingM * MM_PER_M,
        requiredDip: Math.max(resolving.requiredDip, ANY_DIP),
        ...PREDICTED_RANGE,
      },
      randomFor('prediction'),
    );
    return found.bound === 'within' ? found.distanceMm / MM_PER_M : null;
  };
  const predictedDistanceM = predictAt(theory.gloss);
  const ends = [-1, 1].map((side) =>
    wall === null || predictedDistanceM === null
      ? null
      : predictAt(Math.min(1, Math.max(0, theory.gloss + side * wall.glossUncertainty))),
  );
  return {
    predictedDistanceM,
    predictedDistanceUncertaintyM:
      ends[0] === null || ends[1] === null ? null : Math.abs(ends[1] - ends[0]) / 2,
  };
}

/**
 * Steps of the conclusions that may be taken on another thread while others are taken here: plain data in, plain data out,
 * with random numbers of their own, so that it makes no difference where and when.
 */
export const CONCLUSION_STEPS = {
  pairs: (input: PairsInput): PairsMeasured => measurePairs(input, randomFor('resolving')),
  prediction: predict,
} as const;

export type ConclusionSteps = typeof CONCLUSION_STEPS;

/** Takes steps of the conclusions elsewhere; each gives null where it was not or could not be taken there. */
export type StepsElsewhere = {
  readonly [N in keyof ConclusionSteps]: (
    input: Parameters<ConclusionSteps[N]>[0],
  ) => Promise<ReturnType<ConclusionSteps[N]> | null>;
};
