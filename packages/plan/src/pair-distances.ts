import type { WallPrediction } from './predict-wall.js';
import { nearestMm, type PlanRequest } from './request.js';

/** Pair distances, near to far; enough for a curve with a few shots on either side of the criterion. */
const DISTANCES = 7;
/** Shots reach this far beyond the predicted distances where there is room: theory may be off by that much. */
const WIDE = 1.5;
/** And at least this far: nearer the wall, a prediction a little too short would leave the crossing outside. */
const LEAST = 1.2;
/** Spacings are set with a ruler. */
const SPACING_STEP_MM = 5;
/** The spacing is changed by at most this factor at a time: predictions far off the mark say little. */
const BOLDEST = 4;
const MOST_ROUNDS = 6;

/** Nearest and farthest prediction: of the stated wall, where none is stated of all. */
function predicted(predictions: readonly WallPrediction[]): { nearMm: number; farMm: number } {
  const stated = predictions.filter((one) => one.stated);
  const distances = (stated.length > 0 ? stated : predictions).map((one) => one.resolving.distanceMm);
  return { nearMm: Math.min(...distances), farMm: Math.max(...distances) };
}

/** By what the spacing has to be multiplied to bring the crossing well inside the room; 1 where it is. */
function spacingFactor({ array, roomMm }: PlanRequest, predictions: readonly WallPrediction[]): number {
  const { nearMm, farMm } = predicted(predictions);
  const most = roomMm / (LEAST * farMm);
  const least = (LEAST * nearestMm(array)) / nearMm;
  if (most < 1) return Math.max(most, 1 / BOLDEST);
  return least > 1 ? Math.min(least, most, BOLDEST) : 1;
}

/** A spacing of the lamps, and what is expected with it. */
export interface BenchSpacing {
  readonly spacingMm: number;
  readonly predictions: readonly WallPrediction[];
  /** Whether shots inside the room reach around the predicted distance. */
  readonly stopped: 'inside' | 'step-limit';
}

/**
 * A spacing with which the criterion is crossed inside the room: the lamps' own where that does.
 *
 * The resolving angle is the array's own, so that the distance grows nearly in proportion to the spacing.
 *
 * @param predict - what theory expects of the array with lamps this far apart
 */
export function spacingInRoom(
  request: PlanRequest,
  predict: (spacingMm: number) => readonly WallPrediction[],
): BenchSpacing {
  let { spacingMm } = request;
  let predictions = predict(spacingMm);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const factor = spacingFactor(request, predictions);
    if (factor === 1) return { spacingMm, predictions, stopped: 'inside' };
    const steps = (spacingMm * factor) / SPACING_STEP_MM;
    const next = SPACING_STEP_MM * Math.max(1, factor < 1 ? Math.floor(steps) : Math.ceil(steps));
    if (next === spacingMm) break;
    spacingMm = next;
    predictions = predict(spacingMm);
  }
  return { spacingMm, predictions, stopped: 'step-limit' };
}

/** Distances to the centimetre, evenly spaced in their ratio, inside the room. */
export function pairDistancesMm(
  { array, roomMm }: PlanRequest,
  predictions: readonly WallPrediction[],
): number[] {
  const { nearMm, farMm } = predicted(predictions);
  const far = Math.min(farMm * WIDE, roomMm);
  const near = Math.min(Math.max(nearMm / WIDE, nearestMm(array)), far / WIDE);
  const ratio = (far / near) ** (1 / (DISTANCES - 1));
  return Array.from({ length: DISTANCES }, (_, i) => Math.floor((near * ratio ** i) / 10) * 10);
}
