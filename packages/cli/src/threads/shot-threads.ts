import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { FurtherPhoto, FurtherShot, KnownSheet, MeasureElsewhere } from '@twolamp/cells';
import type { PhotoHead, PhotoReading } from '@twolamp/photos';

/** What a thread is started with. */
export interface ShotThread {
  readonly folder: string;
  readonly reading: PhotoReading;
}

/** What it gets to do once a sheet is known. */
export interface ThreadWork {
  readonly known: KnownSheet;
  readonly shots: readonly FurtherShot[];
  /** How many shots of the list are taken, shared by all threads. */
  readonly taken: Int32Array;
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

/** Threads on which a session is measured soonest; none where it runs from its sources, which no thread can load. */
function usefulThreads(shots: number, { widthPx, heightPx, bits }: PhotoHead): number {
  if (!existsSync(WORKER)) return 0;
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
 * Starts threads for a session's further shots. They load their code while the even shot is measured here.
 *
 * @param folder - that the photos lie in
 * @param shots - how many further shots there are
 * @param head - of one of the photos, for their size
 * @returns null where threads would gain nothing
 */
export function startShotThreads(
  folder: string,
  reading: PhotoReading,
  shots: number,
  head: PhotoHead,
): ShotThreads | null {
  const count = usefulThreads(shots, head);
  if (count === 0) return null;
  const workerData: ShotThread = { folder, reading };
  // Without the caller's flags: one of them may point imports at sources.
  const workers = Array.from({ length: count }, () => new Worker(WORKER, { workerData, execArgv: [] }));
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
    const taken = new Int32Array(new SharedArrayBuffer(4));
    const work: ThreadWork = { known, shots: given, taken, before: answers.length };
    const photos = given.map(() => new Promise<FurtherPhoto | null>((resolve) => answers.push(resolve)));
    for (const worker of workers) worker.postMessage(work);
    if (isBroken) giveUp();
    return photos;
  };
  return { elsewhere, end: async () => void (await Promise.all(workers.map((one) => one.terminate()))) };
}
