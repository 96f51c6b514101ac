import { parentPort, workerData } from 'node:worker_threads';
import { CONCLUSION_STEPS } from '@twolamp/measure';
import { type FurtherPhotos, takeShots } from './further-photo.js';
import type { Answer, ShotsWork, StepWork } from './shot-threads.js';

const photos = workerData as FurtherPhotos;
// Libraries print warnings there; stdout is for figures.
console.log = console.error;

const answer = (n: number, given: unknown) => parentPort!.postMessage({ n, given } satisfies Answer);

/** What a step gives; null where it fails: the main thread tries it again, and tells what is wrong. */
function stepTaken({ step, input }: StepWork): unknown {
  try {
    return (CONCLUSION_STEPS[step] as (input: StepWork['input']) => unknown)(input);
  } catch {
    return null;
  }
}

parentPort!.on('message', async (work: ShotsWork | StepWork) => {
  if (work.what === 'step') answer(work.n, stepTaken(work));
  else await takeShots(photos, work, (n, photo) => answer(work.before + n, photo));
});
