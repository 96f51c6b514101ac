import { lampSpreadCells, openAreaFraction, type Random } from '@twolamp/optics';
import { LAMP_SIZE_HINT, type SessionDraft } from '@twolamp/session';
import { type OuterSize, outerSize } from './outer-size.js';
import { type BenchSpacing, pairDistancesMm, spacingInRoom } from './pair-distances.js';
import { predictShot, predictWall, type WallPrediction, wallsToPredict } from './predict-wall.js';
import { type PlanRequest, requirePlannable } from './request.js';
import { type ShotList, shotLists, sightings, sweepDistanceMm } from './shot-list.js';
import { type StartExposure, startExposure } from './start-exposure.js';

const RAD_PER_DEG = Math.PI / 180;

/** What theory expects of the pairs to be shot at one distance. */
export interface ExpectedPair {
  readonly distanceMm: number;
  /** One a wall, in the order of the predictions. */
  readonly dips: readonly number[];
}

/** One list of shots with what to expect of it. */
export interface PlannedList {
  readonly name: ShotList['name'];
  readonly expected: readonly ExpectedPair[];
  /** In how many of the lamp's places one tube sees it brightly, one a wall. */
  readonly lamps: { readonly places: number; readonly sightings: readonly number[] };
  /** Complete: it reads back as a session. */
  readonly session: SessionDraft;
}

/** What to expect of an array, and what to shoot to find out. */
export interface Plan {
  readonly request: PlanRequest;
  /** At the sheet and at the front grid. */
  readonly size: { readonly back: OuterSize; readonly front: OuterSize };
  /** For the lamps' own spacing: matte black first, then the wall as stated if it is another, glossy black last. */
  readonly predictions: readonly WallPrediction[];
  /** Share of the sheet that lies behind bores. */
  readonly openArea: number;
  /** What to shoot with: the lamps' own spacing, or another where the criterion wouldn't be crossed inside the room. */
  readonly bench: BenchSpacing;
  /** One a wall, in the order of the predictions. */
  readonly exposures: readonly StartExposure[];
  /** The short way to a verdict, and everything. */
  readonly evening: PlannedList;
  readonly thorough: PlannedList;
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
  const onBench = { ...request, spacingMm: bench.spacingMm };
  const undersampled = bench.predictions.some((one) => one.undersampled);
  const distancesFor = (count: number) => pairDistancesMm(request, bench.predictions, count);
  const lists = shotLists(array, bench.spacingMm, distancesFor, undersampled);
  const planned = ({ name, shots }: ShotList): PlannedList => {
    const distances = [...new Set(shots.flatMap((shot) => (shot.kind === 'pair' ? shot.distanceMm! : [])))];
    const sweepMm = sweepDistanceMm(distances);
    const spreadAt = ({ acceptanceWidthDeg }: WallPrediction) =>
      lampSpreadCells(array, acceptanceWidthDeg * RAD_PER_DEG, sweepMm);
    const places = shots.filter(({ kind }) => kind === 'lamp').length;
    return {
      name,
      expected: distances.map((distanceMm) => ({
        distanceMm,
        dips: walls.map((wall) => predictShot(onBench, wall, distanceMm, random).dip),
      })),
      lamps: {
        places,
        sightings: predictions.map((one) => sightings(array, spreadAt(one), places)),
      },
      session: { heading: HEADING, array, criterion, tone: 'srgb', shots: [...shots] },
    };
  };
  const evening = planned(lists.evening);
  return {
    request,
    size: outerSize(array),
    predictions,
    openArea: openAreaFraction(array),
    bench,
    exposures: predictions.map((one) =>
      startExposure(one.evenThroughput, sweepDistanceMm(evening.expected.map((pair) => pair.distanceMm))),
    ),
    evening,
    thorough: planned(lists.thorough),
  };
}
