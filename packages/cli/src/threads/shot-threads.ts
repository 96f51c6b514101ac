import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { FurtherPhoto, MeasureElsewhere } from '@twolamp/cells';
import type { PhotoHead } from '@twolamp/photos';
import { type FurtherPhotos, type SharedShots, takeShots } from './further-photo.js';

/** What a thread gets to do once a sheet is known. */
export interface ThreadWork extends SharedShots {
  /** Shots of the lists before this one. */
  readonly before: number;
}

/** What it answers for one shot, counted over all lists; null where it can't be measured. */
export interface DoneShot {
  readonly n: number;
  readonly photo: FurtherPhoto | null;
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
 * Threads on which a session is measured soonest, the main one counted; that one alone where the command runs from its
 * sources, which no other can load.
 */
function usefulThreads(shots: number, { widthPx, heightPx, bits }: PhotoHead): number {
  if (!existsSync(WORKER)) return 1;
  const decoded = widthPx * heightPx * 3 * (bits > 8 ? 2 : 1);
  const fitting = Math.max(1, Math.floor(DECODED_BYTES / decoded));
  return Math.min(availableParallelism(), fitting, Math.floor(shots / LEAST_SHOTS));
}

/** Threads that wait for a sheet to be known, and then measure the further shots of its camera position. */
export interface ShotThreads {
  readonly elsewhere: MeasureElsewhere;
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
  const answers: ((photo: FurtherPhoto | null) => void)[] = [];
  const giveUp = () => {
    isBroken = true;
    for (const answer of answers) answer(null);
  };
  for (const worker of workers) {
    worker.on('message', ({ n, photo }: DoneShot) => answers[n](photo));
    worker.on('error', giveUp);
  }
  const elsewhere: MeasureElsewhere = (known, given) => {
    const before = answers.length;
    const work: ThreadWork = {
      known,
      shots: given,
      taken: new Int32Array(new SharedArrayBuffer(4)),
      before,
    };
    const measured = given.map(() => new Promise<FurtherPhoto | null>((resolve) => answers.push(resolve)));
    for (const worker of workers) worker.postMessage(work);
    if (isBroken) giveUp();
    else void takeShots(photos, work, (n, photo) => answers[before + n](photo));
    return measured;
  };
  return { elsewhere, end: async () => void (await Promise.all(workers.map((one) => one.terminate()))) };
}
