import { lampSpreadCells, openAreaFraction, type Random } from '@twolamp/optics';
import { LAMP_SIZE_HINT, type SessionDraft } from '@twolamp/session';
import { type BenchSpacing, pairDistancesMm, spacingInRoom } from './pair-distances.js';
import { predictShot, predictWall, type WallPrediction, wallsToPredict } from './predict-wall.js';
import { type PlanRequest, requirePlannable } from './request.js';
import { SWEEP_SHOTS, shotList, sightings, sweepDistanceMm } from './shot-list.js';

const RAD_PER_DEG = Math.PI / 180;

/** What theory expects of the pairs to be shot at one distance. */
export interface ExpectedPair {
  readonly distanceMm: number;
  /** One a wall, in the order of the predictions. */
  readonly dips: readonly number[];
}

/** What to expect of an array, and what to shoot to find out. */
export interface Plan {
  readonly request: PlanRequest;
  /** For the lamps' own spacing: matte black first, then the wall as stated if it is another, glossy black last. */
  readonly predictions: readonly WallPrediction[];
  /** Share of the sheet that lies behind bores. */
  readonly openArea: number;
  /** What to shoot with: the lamps' own spacing, or another where the criterion wouldn't be crossed inside the room. */
  readonly bench: BenchSpacing;
  readonly expected: readonly ExpectedPair[];
  /** In how many of the places of the lamp sweep one tube sees the lamp brightly, one a wall. */
  readonly sweep: { readonly places: number; readonly sightings: readonly number[] };
  /** Complete: it reads back as a session. */
  readonly session: SessionDraft;
}

const HEADING = [
  'Shot by shot as planned. Measure each distance from the front face, and change what came out otherwise.',
  'Look from the back: across grows to the right, up grows upwards.',
  LAMP_SIZE_HINT,
];

/**
 * Plans a bench session.
 *
 * @param request - array, lamps and room
 * @param random - for ray tracing; the same seed gives the same plan
 * @param where - what the person gave, for messages
 * @throws InputError where the room doesn't do; RangeError where the array can't be built
 */
export function planBench(request: PlanRequest, random: Random, where: string): Plan {
  requirePlannable(request, where);
  const { array, criterion } = request;
  const walls = wallsToPredict(array);
  const predict = (spacingMm: number) =>
    walls.map((wall) => predictWall({ ...request, spacingMm }, wall, random));
  const predictions = predict(request.spacingMm);
  const bench = spacingInRoom(request, (spacingMm) =>
    spacingMm === request.spacingMm ? predictions : predict(spacingMm),
  );
  const distances = pairDistancesMm(request, bench.predictions);
  const onBench = { ...request, spacingMm: bench.spacingMm };
  const undersampled = bench.predictions.some((one) => one.undersampled);
  const spreadAtSweep = ({ acceptanceWidthDeg }: WallPrediction) =>
    lampSpreadCells(array, acceptanceWidthDeg * RAD_PER_DEG, sweepDistanceMm(distances));
  return {
    request,
    predictions,
    openArea: openAreaFraction(array),
    bench,
    expected: distances.map((distanceMm) => ({
      distanceMm,
      dips: walls.map((wall) => predictShot(onBench, wall, distanceMm, random).dip),
    })),
    sweep: {
      places: SWEEP_SHOTS,
      sightings: predictions.map((one) => sightings(array, spreadAtSweep(one))),
    },
    session: {
      heading: HEADING,
      array,
      criterion,
      tone: 'srgb',
      shots: shotList(array, bench.spacingMm, distances, undersampled),
    },
  };
}
