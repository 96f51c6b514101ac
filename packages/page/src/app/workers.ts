import { type Remote, wrap } from 'comlink';
import type { ConcludeApi } from '../worker/conclude.js';
import type { LiveApi } from '../worker/live.js';
import type { LookApi } from '../worker/look.js';
import type { PlanApi } from '../worker/plan-worker.js';

/** The threads beside the page, each begun when it is first needed. */
export interface Workers {
  readonly plan: () => Remote<PlanApi>;
  readonly look: () => Remote<LookApi>;
  readonly conclude: () => Remote<ConcludeApi>;
  readonly live: () => Remote<LiveApi>;
}

function once<T>(make: () => T): () => T {
  let made: T | null = null;
  return () => {
    made ??= make();
    return made;
  };
}

export const workers: Workers = {
  plan: once(() =>
    wrap<PlanApi>(new Worker(new URL('../worker/plan-worker.ts', import.meta.url), { type: 'module' })),
  ),
  look: once(() =>
    wrap<LookApi>(new Worker(new URL('../worker/look-worker.ts', import.meta.url), { type: 'module' })),
  ),
  live: once(() =>
    wrap<LiveApi>(new Worker(new URL('../worker/live-worker.ts', import.meta.url), { type: 'module' })),
  ),
  conclude: once(() =>
    wrap<ConcludeApi>(
      new Worker(new URL('../worker/conclude-worker.ts', import.meta.url), { type: 'module' }),
    ),
  ),
};
