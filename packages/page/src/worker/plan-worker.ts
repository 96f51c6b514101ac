import { seededRandom } from '@twolamp/optics';
import { exposureText, type Plan, type PlanRequest, planBench, planRemarks } from '@twolamp/plan';
import { expose } from 'comlink';

/** Any seed does; the command line's, so that both plan alike. */
const SEED = 1;

export interface PlanAnswer {
  readonly plan: Plan;
  readonly remarks: readonly string[];
  /** Exposures to start from. */
  readonly exposures: readonly string[];
}

const api = {
  plan(request: PlanRequest, where: string): PlanAnswer {
    const plan = planBench(request, seededRandom(SEED), where);
    return { plan, remarks: planRemarks(plan), exposures: exposureText(plan) };
  },
};

export type PlanApi = typeof api;

expose(api);
