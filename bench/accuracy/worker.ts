import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parentPort } from 'node:worker_threads';
import { InputError } from '@twolamp/session';
import { drawPlan, type Form } from './draw-plan.js';
import { runSession } from './run-session.js';
import { refusedScore, type Score, scoreSession } from './score.js';

/** What a worker is asked for. */
export interface Task {
  readonly index: number;
  readonly form: Form;
  /** Folder that keeps the session, or null where it is thrown away. */
  readonly keep: string | null;
}

async function work({ index, form, keep }: Task): Promise<Score> {
  const folder = keep ? join(keep, `session-${index}`) : await mkdtemp(join(tmpdir(), 'twolamp-accuracy-'));
  const drawn = drawPlan(index, form);
  const start = performance.now();
  const seconds = () => (performance.now() - start) / 1000;
  try {
    const run = await runSession(drawn, folder);
    return scoreSession(index, drawn, run, seconds());
  } catch (error) {
    if (error instanceof InputError) return refusedScore(index, drawn, seconds(), error.message);
    throw error;
  } finally {
    if (!keep) await rm(folder, { recursive: true });
  }
}

parentPort!.on('message', async (task: Task) => {
  parentPort!.postMessage(await work(task));
});
