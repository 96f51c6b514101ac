import { parentPort, workerData } from 'node:worker_threads';
import { type FurtherPhotos, takeShots } from './further-photo.js';
import type { DoneShot, ThreadWork } from './shot-threads.js';

const photos = workerData as FurtherPhotos;
// Libraries print warnings there; stdout is for figures.
console.log = console.error;

parentPort!.on('message', ({ before, ...shared }: ThreadWork) =>
  takeShots(photos, shared, (n, photo) => {
    const done: DoneShot = { n: before + n, photo };
    parentPort!.postMessage(done);
  }),
);
