import {
  type Acceptance,
  effectiveFNumber,
  type PairPrediction,
  predictPair,
  type Random,
  type ResolvingDistance,
  resolvingDistance,
  scaledExposureS,
  traceAcceptance,
  tubeOf,
  type Wall,
  type WallName,
  wellSampledFrontPitchMm,
} from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import type { PlanRequest } from './request.js';

/** How far theory is asked: farther than any room, nearer than any scene at infinity. */
const FARTHEST_MM = 200_000;
/** Two rounds agree when the distance moves by less than this. */
const SETTLED = 0.01;
const MOST_ROUNDS = 8;
const DEG_PER_RAD = 180 / Math.PI;

/** What theory expects of an array whose tubes have this wall. */
export interface WallPrediction {
  readonly wall: WallName | 'as stated';
  /** True where the builder says that the tubes are like this. */
  readonly stated: boolean;
  /** Full width at half maximum of one tube, for a lamp at the resolving distance. */
  readonly acceptanceWidthDeg: number;
  /** Share of even light into the bore that comes out. */
  readonly evenThroughput: number;
  /** The lens that lights a sheet as brightly as a tube lights its spot: E = π·radiance/(4N²). */
  readonly fNumber: number;
  /** The known exposure scaled to this array; null where none is known. */
  readonly exposureS: number | null;
  readonly resolving: ResolvingDistance & {
    /** The lamps' spacing as an angle at that distance. */
    readonly angleDeg: number;
    /** Distance and acceptance depend on each other and are found in rounds. */
    readonly stopped: 'settled' | 'step-limit';
  };
  /** How many cells the light of one lamp covers at the resolving distance. */
  readonly spreadCells: number;
  /** A lamp at the resolving distance can fall into a blind gap between two tubes. */
  readonly undersampled: boolean;
  /**
   * The widest front pitch without blind gaps there. Null where the array has none, and where no front pitch would
   * do because even parallel tubes leave gaps.
   */
  readonly cureFrontPitchMm: number | null;
}

/** A wall and how to call it. */
export interface NamedWall {
  readonly name: WallPrediction['wall'];
  readonly wall: WallName | Wall;
  readonly stated: boolean;
}

/** Both ends of what black tubes can be, and between them what the builder states, if neither. */
export function wallsToPredict({ tubeWall }: ArraySpec): NamedWall[] {
  return [
    { name: 'matte black', wall: 'matte black', stated: tubeWall === 'matte black' },
    ...(typeof tubeWall === 'object' ? [{ name: 'as stated' as const, wall: tubeWall, stated: true }] : []),
    { name: 'glossy black', wall: 'glossy black', stated: tubeWall === 'glossy black' },
  ];
}

/**
 * Resolving distance, sampling and light of an array with the given wall.
 *
 * A near lamp's light spreads inside the bore and widens the acceptance, which brings the resolving distance nearer:
 * the two are found in turn, beginning with a lamp far away.
 */
export function predictWall(
  request: PlanRequest,
  { name, wall, stated }: NamedWall,
  random: Random,
): WallPrediction {
  const { array, spacingMm, criterion, known } = request;
  const tube = tubeOf(array);
  const far = traceAcceptance(tube, wall, random);
  const distanceFor = (acceptance: Acceptance) =>
    resolvingDistance(
      array,
      () => acceptance,
      spacingMm,
      criterion.requiredDip,
      array.tubeLengthMm,
      FARTHEST_MM,
    );

  let found = distanceFor(far);
  let acceptance = far;
  let stopped: 'settled' | 'step-limit' = 'step-limit';
  for (let round = 0; round < MOST_ROUNDS && stopped === 'step-limit'; round++) {
    acceptance = traceAcceptance(tube, wall, random, { lampDistanceMm: found.distanceMm });
    const next = distanceFor(acceptance);
    if (Math.abs(next.distanceMm - found.distanceMm) < SETTLED * found.distanceMm) stopped = 'settled';
    found = next;
  }

  const pair = predictPair(array, acceptance, spacingMm, found.distanceMm, criterion.requiredDip);
  const cure = wellSampledFrontPitchMm(array, acceptance.widthRad, found.distanceMm);
  const fNumber = effectiveFNumber(far.evenThroughput).sine;
  return {
    wall: name,
    stated,
    acceptanceWidthDeg: acceptance.widthRad * DEG_PER_RAD,
    evenThroughput: far.evenThroughput,
    fNumber,
    exposureS: known === undefined ? null : scaledExposureS(known, fNumber),
    resolving: { ...found, angleDeg: 2 * Math.atan(spacingMm / 2 / found.distanceMm) * DEG_PER_RAD, stopped },
    spreadCells: pair.spreadCells,
    undersampled: pair.undersampled,
    cureFrontPitchMm: pair.undersampled && cure >= array.backPitchMm ? cure : null,
  };
}

/** Dip and sampling of one pair of lamps with the given wall. */
export function predictShot(
  { array, spacingMm, criterion }: PlanRequest,
  { wall }: NamedWall,
  distanceMm: number,
  random: Random,
): PairPrediction {
  const acceptance = traceAcceptance(tubeOf(array), wall, random, {
    lampDistanceMm: distanceMm,
  });
  return predictPair(array, acceptance, spacingMm, distanceMm, criterion.requiredDip);
}
