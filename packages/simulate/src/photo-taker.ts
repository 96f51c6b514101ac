import type { Bench } from './array/bench.js';
import { developer } from './camera/develop.js';
import { chooseExposure, type Exposure } from './camera/exposure.js';
import { type PictureMove, UNMOVED } from './camera/projection.js';
import { expose } from './camera/sensor.js';
import type { Plan } from './plan/plan-format.js';
import { listPhotos, type PlannedPhoto } from './shots/photo-names.js';
import { photographer, scalePerLux, statedExposure } from './shots/take-photo.js';
import type { Plane } from './camera/plane.js';
import { STREAM, sessionRandom } from './streams.js';
import type { TruePhoto } from './truth/truth-format.js';

/** A photo as an encoded file, and what is true of it. */
export interface TakenPhoto {
  readonly name: string;
  readonly file: Uint8Array;
  readonly truth: TruePhoto;
}

/** Takes the photo of an index in the plan's list of photos; any order does, each has a random stream of its own. */
export type PhotoTaker = (index: number) => Promise<TakenPhoto>;

/** Sets camera and bench up, once for all photos. */
export function photoTaker(bench: Bench): PhotoTaker {
  const { plan } = bench;
  const { camera } = plan;
  const photos = listPhotos(plan);
  const photograph = photographer(bench);
  const develop = developer(plan.photo, camera.aperture);
  const drifts = cameraDrift(plan, photos);
  // A dark frame is taken with the settings of the even shot: a meter would find nothing to go by.
  const firstEven = plan.shots.find((shot) => shot.kind === 'even')!;
  const evenExposure = statedExposure(firstEven) ?? meteredExposure(plan, photograph(firstEven, UNMOVED));
  return async (index) => {
    const { name, shot } = photos[index];
    const { xPx, yPx } = drifts[index];
    const light = photograph(shot, drifts[index]);
    const exposure =
      statedExposure(shot) ?? (shot.kind === 'dark' ? evenExposure : meteredExposure(plan, light));
    const sensor = {
      fullScaleElectrons: (camera['full-well'] * 100) / exposure.iso,
      readNoiseElectrons: camera['read-noise'],
      offset: camera.offset,
    };
    const random = sessionRandom(plan, STREAM.firstPhoto + index);
    const readings = expose(light, scalePerLux(exposure, camera.aperture), sensor, random);
    return {
      name,
      file: await develop(readings, exposure),
      truth: {
        photo: name,
        kind: shot.kind,
        exposureS: exposure.seconds,
        iso: exposure.iso,
        driftPx: [xPx, yPx],
      },
    };
  };
}

/** How each photo has moved against the first even one: the camera creeps by a random step from photo to photo, or is bumped. */
function cameraDrift(plan: Plan, photos: readonly PlannedPhoto[]): PictureMove[] {
  const random = sessionRandom(plan, STREAM.drift);
  const step = plan.camera['drift-px'];
  const walk: PictureMove[] = [];
  photos.forEach(({ shot }, n) => {
    const last = walk.at(-1) ?? UNMOVED;
    const bump = shot.kind === 'scene' || shot === photos[n - 1]?.shot ? undefined : shot.bump;
    walk.push({
      xPx: last.xPx + step * random.normal() + (bump?.['right-px'] ?? 0),
      yPx: last.yPx + step * random.normal() + (bump?.['down-px'] ?? 0),
      rollDeg: (last.rollDeg ?? 0) + (bump?.roll ?? 0),
    });
  });
  const origin = walk[photos.findIndex(({ shot }) => shot.kind === 'even')];
  return walk.map(({ xPx, yPx, rollDeg }) => ({
    xPx: xPx - origin.xPx,
    yPx: yPx - origin.yPx,
    rollDeg: (rollDeg ?? 0) - (origin.rollDeg ?? 0),
  }));
}

function meteredExposure({ camera }: Plan, light: Plane): Exposure {
  const brightestLux = light.data.reduce((most, lux) => Math.max(most, lux), 0);
  return chooseExposure(brightestLux, camera.aperture, camera['longest-exposure']);
}
