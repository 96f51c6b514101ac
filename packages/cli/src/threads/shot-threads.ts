import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';
import type { FurtherPhoto, MeasureElsewhere } from '@twolamp/cells';
import type { ConclusionSteps, StepsElsewhere } from '@twolamp/measure';
import type { PhotoHead } from '@twolamp/photos';
import { type FurtherPhotos, type SharedShots, takeShots } from './further-photo.js';

/** What a thread gets to do once a sheet is known. */
export interface ShotsWork extends SharedShots {
  readonly what: 'shots';
  /** Number of the answer to the first shot; each next one's is one more. */
  readonly before: number;
}

/** A step of the conclusions, which a thread takes once all shots are measured. */
export interface StepWork {
  readonly what: 'step';
  readonly step: keyof ConclusionSteps;
  readonly input: Parameters<ConclusionSteps[keyof ConclusionSteps]>[0];
  /** Number of the answer. */
  readonly n: number;
}

/** What a thread answers: to a shot what was measured of it, to a step what was concluded; null where that failed. */
export interface Answer {
  readonly n: number;
  readonly given: unknown;
}

const WORKER = new URL('./shot-worker.js', import.meta.url);
/** Starting a thread costs as much as measuring a few small photos. */
const LEAST_SHOTS = 4;
/**
 * Each thread holds one decoded photo, and they share this much memory for it. Photos of 50 megapixels and 8 bits then have
 * one thread, with 0.83 GB at the peak; with two it is 1.2 GB.
 */
const DECODED_BYTES = 250e6;
/**
 * Photos come and go, a few megabytes each, and the engine counts them as growth of its heap: it would look through all of the
 * heap after every other photo. It may grow by as much again as it holds before it does. Not from the start on: a small heap
 * grows faster by itself.
 */
const HEAP_GROWTH = '--heap-growing-percent=100';

/**
 * Threads on which a session is measured soonest, the main one counted; that one alone where the command runs from its
 * sources, which no other can load.
 */
function usefulThreads(shots: number, { widthPx, heightPx, bits }: PhotoHead): number {
  if (!existsSync(WORKER)) return 1;
  const decoded = widthPx * heightPx * 3 * (bits > 8 ? 2 : 1);
  const fitting = Math.max(1, Math.floor(DECODED_BYTES / decoded));
  return Math.min(availableParallelism(), fitting, Math.floor(shots / LEAST_SHOTS));
}

/**
 * Threads that wait for a sheet to be known, measure the further shots of its camera position, and then take steps of the
 * conclusions.
 */
export interface ShotThreads {
  readonly elsewhere: MeasureElsewhere;
  readonly steps: StepsElsewhere;
  readonly end: () => Promise<void>;
}

/**
 * Starts threads for a session's further shots. They load their code while the even shot is measured here. This thread, whose
 * code is warm by then, takes its share of the shots.
 *
 * @param shots - how many further shots there are
 * @param head - of one of the photos, for their size
 * @returns null where threads would gain nothing
 */
export function startShotThreads(photos: FurtherPhotos, shots: number, head: PhotoHead): ShotThreads | null {
  const others = usefulThreads(shots, head) - 1;
  if (others < 1) return null;
  // Without the caller's flags: one of them may point imports at sources.
  const workers = Array.from(
    { length: others },
    () => new Worker(WORKER, { workerData: photos, execArgv: [] }),
  );
  let isBroken = false;
  const answers: ((given: unknown) => void)[] = [];
  const giveUp = () => {
    isBroken = true;
    for (const answer of answers) answer(null);
  };
  for (const worker of workers) {
    worker.on('message', ({ n, given }: Answer) => answers[n](given));
    worker.on('error', giveUp);
  }
  /** What the next answer gives; null where no thread can. */
  const nextAnswer = <T>() =>
    new Promise<T | null>((resolve) => {
      answers.push((given) => resolve(given as T | null));
    });
  const elsewhere: MeasureElsewhere = (known, shots) => {
    setFlagsFromString(HEAP_GROWTH);
    const before = answers.length;
    const taken = new Int32Array(new SharedArrayBuffer(4));
    const work: ShotsWork = { what: 'shots', known, shots, taken, before };
    const measured = shots.map(() => nextAnswer<FurtherPhoto>());
    for (const worker of workers) worker.postMessage(work);
    if (isBroken) giveUp();
    else void takeShots(photos, work, (n, photo) => answers[before + n](photo));
    return measured;
  };
  const takeStep = <N extends keyof ConclusionSteps>(step: N, input: Parameters<ConclusionSteps[N]>[0]) => {
    const work: StepWork = { what: 'step', step, input, n: answers.length };
    const taken = nextAnswer<ReturnType<ConclusionSteps[N]>>();
    workers[0].postMessage(work);
    if (isBroken) giveUp();
    return taken;
  };
  const steps: StepsElsewhere = {
    pairs: (input) => takeStep('pairs', input),
    prediction: (input) => takeStep('prediction', input),
  };
  return {
    elsewhere,
    steps,
    end: async () => void (await Promise.all(workers.map((one) => one.terminate()))),
  };
}
