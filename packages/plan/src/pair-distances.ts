import type { WallPrediction } from './predict-wall.js';
import { nearestMm, type PlanRequest } from './request.js';

/** Shots reach this far beyond the predicted distances where there is room: theory may be off by that much. */
const WIDE = 1.5;
/** And at least this far: nearer the wall, a prediction a little too short would leave the crossing outside. */
const LEAST = 1.2;
/** Spacings are set with a ruler. */
const SPACING_STEP_MM = 5;
/** The spacing is changed by at most this factor at a time: predictions far off the mark say little. */
const BOLDEST = 4;
const MOST_ROUNDS = 6;

/** Predictions for the stated wall; where none is stated, for all. */
function relevant(predictions: readonly WallPrediction[]): readonly WallPrediction[] {
  const stated = predictions.filter((one) => one.stated);
  return stated.length > 0 ? stated : predictions;
}

/** Nearest and farthest of the predictions that matter. */
function predicted(predictions: readonly WallPrediction[]): { nearMm: number; farMm: number } {
  const distances = relevant(predictions).map((one) => one.resolving.distanceMm);
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

/** For how many of the walls that may be there the predicted distance lies where lamps can stand. */
function insideRoom(
  { array, roomMm }: PlanRequest,
  predictions: readonly WallPrediction[],
): BenchSpacing['inside'] {
  const possible = relevant(predictions);
  const inside = possible.filter(
    ({ resolving }) => resolving.distanceMm >= nearestMm(array) && resolving.distanceMm <= roomMm,
  );
  if (inside.length === possible.length) return 'all';
  return inside.length === 0 ? 'none' : 'some';
}

/** A spacing of the lamps, and what is expected with it. */
export interface BenchSpacing {
  readonly spacingMm: number;
  readonly predictions: readonly WallPrediction[];
  /** Whether the lamps merge inside the room as predicted: for every wall predicted, for some of them, or for none. */
  readonly inside: 'all' | 'some' | 'none';
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
    if (factor === 1) break;
    const steps = (spacingMm * factor) / SPACING_STEP_MM;
    const next = SPACING_STEP_MM * Math.max(1, factor < 1 ? Math.floor(steps) : Math.ceil(steps));
    if (next === spacingMm) break;
    spacingMm = next;
    predictions = predict(spacingMm);
  }
  return { spacingMm, predictions, inside: insideRoom(request, predictions) };
}

/** So many distances, near to far, to the centimetre, evenly spaced in their ratio, inside the room. */
export function pairDistancesMm(
  { array, roomMm }: PlanRequest,
  predictions: readonly WallPrediction[],
  count: number,
): number[] {
  const { nearMm, farMm } = predicted(predictions);
  const far = Math.min(farMm * WIDE, roomMm);
  const near = Math.min(Math.max(nearMm / WIDE, nearestMm(array)), far / WIDE);
  const ratio = (far / near) ** (1 / (count - 1));
  return Array.from({ length: count }, (_, i) => Math.floor((near * ratio ** i) / 10) * 10);
}
