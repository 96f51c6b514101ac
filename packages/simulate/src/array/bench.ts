import type { TubeSize } from '@twolamp/optics';
import type { Plan } from '../plan/plan-format.js';
import { type TubeResponse, tubeResponse } from '../response/tube-response.js';
import { type EvenLight, evenLight } from '../shots/even-light.js';
import { buildCrosstalk, type Leak } from './crosstalk.js';
import { buildTubes, openHoleMm, type Tube } from './tubes.js';

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
}

export function buildBench(plan: Plan): Bench {
  const tubes = buildTubes(plan);
  const size: TubeSize = { boreMm: plan.array.tubeBoreMm, lengthMm: plan.array.tubeLengthMm };
  const healthy = tubeResponse(size, 0, 0);
  const holeMm = openHoleMm(plan);
  const hole = tubeResponse({ ...size, boreMm: holeMm }, 0, 0);
  return {
    plan,
    tubes,
    healthy,
    responses: tubes.map((tube) => {
      if (tube.isOpen) return hole;
      return tube.bowMm === 0 ? healthy : tubeResponse(size, tube.bowMm, tube.bowRad);
    }),
    boresMm: Float64Array.from(tubes, (tube) => (tube.isOpen ? holeMm : size.boreMm)),
    leaks: buildCrosstalk(plan, tubes),
    even: evenLight(plan),
  };
}
