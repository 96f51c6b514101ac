import { type Shot, writeSession } from '@twolamp/session';
import { buildBench } from './array/bench.js';
import { developer } from './camera/develop.js';
import { chooseExposure, type Exposure } from './camera/exposure.js';
import { type PhotoPlace, projection } from './camera/projection.js';
import { expose } from './camera/sensor.js';
import type { Plan } from './plan/plan-format.js';
import { listPhotos, type PlannedPhoto } from './shots/photo-names.js';
import { photographer, scalePerLux, statedExposure } from './shots/take-photo.js';
import type { Plane } from './sheet/plane.js';
import { STREAM, sessionRandom } from './streams.js';
import type { TruePhoto, Truth } from './truth/truth-format.js';
import { truthOf } from './truth/truth.js';

/** A simulated session; its photos have been handed over one by one. */
export interface Simulation {
  /** Text of session.yaml. */
  readonly session: string;
  readonly truth: Truth;
}

/**
 * Takes every photo of a plan.
 *
 * The same plan gives the same bytes; a changed shot leaves the photos before it as they were.
 *
 * @param onPhoto - gets each photo as an encoded file, in the plan's order; awaited before the next one is made
 */
export async function simulateSession(
  plan: Plan,
  onPhoto: (name: string, file: Uint8Array, done: number, total: number) => void | Promise<void>,
): Promise<Simulation> {
  const bench = buildBench(plan);
  const photos = listPhotos(plan);
  const photograph = photographer(bench);
  const develop = developer(plan.photo, plan.camera.aperture);
  const drifts = cameraDrift(plan, photos);
  const taken: TruePhoto[] = [];
  // A dark frame is taken with the settings of the even shot: a meter would find nothing to go by.
  const firstEven = plan.shots.find((shot) => shot.kind === 'even')!;
  const evenExposure =
    statedExposure(firstEven) ?? meteredExposure(plan, photograph(firstEven, { xPx: 0, yPx: 0 }));
  for (const [index, { name, shot }] of photos.entries()) {
    const light = photograph(shot, drifts[index]);
    const { camera } = plan;
    const exposure =
      statedExposure(shot) ?? (shot.kind === 'dark' ? evenExposure : meteredExposure(plan, light));
    const sensor = {
      fullScaleElectrons: (camera['full-well'] * 100) / exposure.iso,
      readNoiseElectrons: camera['read-noise'],
      offset: camera.offset,
    };
    const readings = expose(
      light,
      scalePerLux(exposure, camera.aperture),
      sensor,
      sessionRandom(plan, STREAM.firstPhoto + index),
    );
    await onPhoto(name, await develop(readings, exposure), index + 1, photos.length);
    const { xPx, yPx } = drifts[index];
    taken.push({
      photo: name,
      kind: shot.kind,
      exposureS: exposure.seconds,
      iso: exposure.iso,
      driftPx: [xPx, yPx],
    });
  }
  const truth = truthOf(bench, photos, taken, projection(plan, { xPx: 0, yPx: 0 }));
  return { session: sessionText(plan, photos), truth };
}

/** Each photo's shift against the first even one: the camera creeps by a random step from photo to photo. */
function cameraDrift(plan: Plan, photos: readonly PlannedPhoto[]): PhotoPlace[] {
  const random = sessionRandom(plan, STREAM.drift);
  const step = plan.camera['drift-px'];
  const walk: PhotoPlace[] = [];
  for (const _ of photos) {
    const last = walk.at(-1) ?? { xPx: 0, yPx: 0 };
    walk.push({ xPx: last.xPx + step * random.normal(), yPx: last.yPx + step * random.normal() });
  }
  const origin = walk[photos.findIndex(({ shot }) => shot.kind === 'even')];
  return walk.map(({ xPx, yPx }) => ({ xPx: xPx - origin.xPx, yPx: yPx - origin.yPx }));
}

function meteredExposure({ camera }: Plan, light: Plane): Exposure {
  const brightestLux = light.data.reduce((most, lux) => Math.max(most, lux), 0);
  return chooseExposure(brightestLux, camera.aperture, camera['longest-exposure']);
}

function sessionText(plan: Plan, photos: readonly PlannedPhoto[]): string {
  return writeSession({
    heading: ['Photos made by calculation from a plan, not taken with a camera.'],
    array: plan.array,
    criterion: plan.criterion,
    tone: plan.photo.tone,
    shots: photos.map(({ name, shot }) => toSessionShot(name, shot)),
  });
}

function toSessionShot(photo: string, shot: PlannedPhoto['shot']): Shot {
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
      return { ...common, kind: 'single', row: shot.row, column: shot.column };
    default:
      return { ...common, kind: shot.kind };
  }
}
