import { on } from 'node:events';
import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Pictures } from './array/bench.js';
import type { TakenPhoto } from './photo-taker.js';
import type { Plan } from './plan/plan-format.js';

/** What one thread does: photos `first`, `first` + `step` … below `count`. */
export interface PhotoTask {
  readonly plan: Plan;
  readonly pictures: Pictures;
  readonly first: number;
  readonly step: number;
  readonly count: number;
}

const WORKER = new URL('./photo-worker.js', import.meta.url);
/** A thread sets up a bench of its own, which costs as much as a few photos. */
const LEAST_PHOTOS = 8;
/** Each holds a few copies of a photo in memory. */
const MOST_THREADS = 4;

/** Threads on which so many photos are taken soonest; 1 where the code runs from its sources, which no thread can load. */
export function usefulThreads(photos: number): number {
  if (!existsSync(WORKER)) return 1;
  return Math.max(1, Math.min(availableParallelism(), MOST_THREADS, Math.floor(photos / LEAST_PHOTOS)));
}

/**
 * Takes a plan's photos on several threads; the same bytes as on one.
 *
 * @returns the photos in the plan's order
 */
export async function* takeOnThreads(
  plan: Plan,
  pictures: Pictures,
  count: number,
  threads: number,
): AsyncGenerator<TakenPhoto> {
  const workers = Array.from({ length: threads }, (_, first) => {
    const task: PhotoTask = { plan, pictures, first, step: threads, count };
    // Without the caller's flags: one of them may point imports at sources.
    return new Worker(WORKER, { workerData: task, execArgv: [] });
  });
  try {
    const messages = workers.map((worker) => on(worker, 'message'));
    for (let index = 0; index < count; index++) {
      const { value } = await messages[index % threads].next();
      yield value[0];
    }
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}
