import { Worker } from 'node:worker_threads';
import type { Score } from './score.js';
import type { Task } from './worker.js';

/**
 * Works through tasks on several threads, each taking the next one when it is done.
 *
 * @param onScore - told of each score as it comes, in no order
 * @throws what a worker throws; the others are stopped
 */
export async function runTasks(
  tasks: readonly Task[],
  threads: number,
  onScore: (score: Score) => void,
): Promise<void> {
  const waiting = [...tasks];
  const workers = Array.from({ length: threads }, () => new Worker(new URL('./worker.js', import.meta.url)));
  const drain = (worker: Worker) =>
    new Promise<void>((resolve, reject) => {
      const next = () => {
        const task = waiting.shift();
        if (task) worker.postMessage(task);
        else resolve();
      };
      worker.on('error', reject);
      worker.on('message', (score: Score) => {
        onScore(score);
        next();
      });
      next();
    });
  try {
    await Promise.all(workers.map(drain));
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}
