import { parentPort, workerData } from 'node:worker_threads';
import { buildBench } from './array/bench.js';
import { type PhotoTaker, photoTaker } from './photo-taker.js';
import type { PhotoTask } from './photo-threads.js';

// Every so many photos of a plan, one after the other; told as they come.
const { plan, pictures, first, step, count } = workerData as PhotoTask;
const take: PhotoTaker = photoTaker(buildBench(plan, pictures));
for (let index = first; index < count; index += step) parentPort!.postMessage(await take(index));
