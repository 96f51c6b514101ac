import { type Shot, writeSession } from '@twolamp/session';
import { type Bench, buildBench, type Pictures } from './array/bench.js';
import { projection, UNMOVED } from './camera/projection.js';
import { photoTaker, type TakenPhoto } from './photo-taker.js';
import { takeOnThreads } from './photo-threads.js';
import type { Plan } from './plan/plan-format.js';
import type { PlannedShot } from './plan/shots-format.js';
import { listPhotos, type PlannedPhoto } from './shots/photo-names.js';
import type { TruePhoto, Truth } from './truth/truth-format.js';
import { truthOf } from './truth/truth.js';

/** A simulated session; its photos have been handed over one by one. */
export interface Simulation {
  /** Text of session.yaml. */
  readonly session: string;
  readonly truth: Truth;
}

async function* takeHere(bench: Bench, count: number): AsyncGenerator<TakenPhoto> {
  const take = photoTaker(bench);
  for (let index = 0; index < count; index++) yield take(index);
}

/**
 * Takes every photo of a plan.
 *
 * The same plan gives the same bytes, on any number of threads; a changed shot leaves the photos before it as they were.
 * Photos of scenes come last, and are not in session.yaml.
 *
 * @param onPhoto - gets each photo as an encoded file, in the plan's order; awaited before the next one is handed over
 * @param threads - more than 1 from compiled code only
 * @param pictures - of the plan's scenes
 * @throws RangeError where a picture is missing
 */
export async function simulateSession(
  plan: Plan,
  onPhoto: (name: string, file: Uint8Array, done: number, total: number) => void | Promise<void>,
  threads = 1,
  pictures: Pictures = new Map(),
): Promise<Simulation> {
  const photos = listPhotos(plan);
  const bench = buildBench(plan, pictures);
  const taken: TruePhoto[] = [];
  const source =
    threads > 1 ? takeOnThreads(plan, pictures, photos.length, threads) : takeHere(bench, photos.length);
  for await (const { name, file, truth } of source) {
    taken.push(truth);
    await onPhoto(name, file, taken.length, photos.length);
  }
  const truth = truthOf(bench, photos, taken, projection(plan, UNMOVED));
  return { session: sessionText(plan, photos), truth };
}

function sessionText(plan: Plan, photos: readonly PlannedPhoto[]): string {
  return writeSession({
    heading: ['Photos made by calculation from a plan, not taken with a camera.'],
    array: plan.array,
    criterion: plan.criterion,
    lampDiameterMm: plan.lamp.diameter,
    tone: plan.photo.tone,
    shots: photos.flatMap(({ name, shot }) => (shot.kind === 'scene' ? [] : toSessionShot(name, shot))),
  });
}

function toSessionShot(photo: string, shot: PlannedShot): Shot {
  const common = { photo, stated: {} };
  switch (shot.kind) {
    case 'lamp':
      return { ...common, kind: 'lamp', acrossMm: shot.across, upMm: shot.up, distanceMm: shot.distance };
    case 'pair':
      return {
        ...common,
        kind: 'pair',
        spacingMm: shot.spacing,
        distanceMm: shot.distance,
        turnedDeg: shot.turned,
        acrossMm: shot.across,
        upMm: shot.up,
      };
    case 'single':
      return { ...common, kind: 'single', row: shot.row ?? null, column: shot.column ?? null };
    default:
      return { ...common, kind: shot.kind };
  }
}
