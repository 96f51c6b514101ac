import { join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { type FurtherPhoto, type FurtherShot, type KnownSheet, measureFurther } from '@twolamp/cells';
import { readReduciblePhoto } from '@twolamp/photos';
import type { DoneShot, ShotThread, ThreadWork } from './shot-threads.js';

const { folder, reading } = workerData as ShotThread;
// Libraries print warnings there; stdout is for figures.
console.log = console.error;

/** Null where it can't be measured: the main thread then tries it itself, and tells what is wrong. */
async function measured(known: KnownSheet, shot: FurtherShot): Promise<FurtherPhoto | null> {
  try {
    return measureFurther(known, shot, await readReduciblePhoto(join(folder, shot.photo), reading));
  } catch {
    return null;
  }
}

// Takes one shot after the other from a list of which other threads take some too.
parentPort!.on('message', async ({ known, shots, taken, before }: ThreadWork) => {
  for (let n = Atomics.add(taken, 0, 1); n < shots.length; n = Atomics.add(taken, 0, 1)) {
    const done: DoneShot = { n: before + n, photo: await measured(known, shots[n]) };
    parentPort!.postMessage(done);
  }
});
