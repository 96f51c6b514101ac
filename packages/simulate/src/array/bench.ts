import { resolveWall, seededRandom, type TubeSize, type Wall } from '@twolamp/optics';
import type { LinearPhoto } from '@twolamp/session';
import type { Plan } from '../plan/plan-format.js';
import { bentResponse, straightResponse, type TubeResponse } from '../response/tube-response.js';
import { type EvenLight, evenLight } from './even-light.js';
import { STREAM } from '../streams.js';
import { buildCrosstalk, type Leak } from './crosstalk.js';
import { buildTubes, openHoleMm, type Tube } from './tubes.js';

/** The pictures of a plan's scenes, by their paths in the plan. */
export type Pictures = ReadonlyMap<string, LinearPhoto>;

/** The array on the bench: all that the photos and the truth are made from. */
export interface Bench {
  readonly plan: Plan;
  readonly tubes: readonly Tube[];
  /** One a tube. */
  readonly responses: readonly TubeResponse[];
  /** Of a straight tube without fault. */
  readonly healthy: TubeResponse;
  /** Bore of each tube, width of each empty hole. */
  readonly boresMm: Float64Array;
  readonly leaks: readonly (readonly Leak[])[];
  readonly even: EvenLight;
  readonly pictures: Pictures;
}

/** Where a plan has no lamp. */
const FARTHEST_NEAREST_MM = 10_000;

/** Lamps of the shots may come so much nearer than the nearest, where the truth looks for the resolving distance. */
export const NEAREST_SHARE = 0.5;

export function buildBench(plan: Plan, pictures: Pictures = new Map()): Bench {
  const tubes = buildTubes(plan);
  const size: TubeSize = { boreMm: plan.array.tubeBoreMm, lengthMm: plan.array.tubeLengthMm };
  const wall = trueWall(plan);
  const random = (index: number) => seededRandom(plan.seed, STREAM.firstTracing + index);
  const distances = [...new Set(plan.shots.flatMap((shot) => ('distance' in shot ? [shot.distance] : [])))];
  const scenes = plan.scenes.map(({ distance }) => distance);
  const nearestMm = Math.min(NEAREST_SHARE * Math.min(...distances, FARTHEST_NEAREST_MM), ...scenes);
  const healthy = straightResponse(size, wall, random(0), nearestMm);
  const holeMm = openHoleMm(plan);
  /** Traced when the first empty hole asks for it. */
  let hole: TubeResponse | undefined;
  const holeResponse = () => {
    hole ??= straightResponse({ ...size, boreMm: holeMm }, wall, random(1), nearestMm);
    return hole;
  };
  return {
    plan,
    tubes,
    healthy,
    responses: tubes.map((tube, index) => {
      if (tube.isOpen) return holeResponse();
      return tube.bowMm === 0
        ? healthy
        : bentResponse(size, wall, () => random(2 + index), distances, tube.bowMm, tube.bowRad);
    }),
    boresMm: Float64Array.from(tubes, (tube) => (tube.isOpen ? holeMm : size.boreMm)),
    leaks: buildCrosstalk(plan, tubes),
    even: evenLight(plan),
    pictures,
  };
}

/** What the tubes are really like inside, whatever the session states. */
export function trueWall(plan: Plan): Required<Wall> {
  return resolveWall(plan.build.wall ?? plan.array.tubeWall ?? 'matte black');
}
