import { madScale } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import { comparable, type Exposure, exposureFactor } from './exposure.js';
import { blur } from './filters.js';
import type { ReducedPhoto } from './plane.js';

/** A dark frame, reduced as the other photos are, with its exposure. */
export interface DarkFrame {
  readonly plane: Plane;
  readonly exposure: Exposure;
}

/** Averages frames of the same exposure, so that each exposure has one dark frame with the least noise. */
export function averageDarks(frames: readonly DarkFrame[]): DarkFrame[] {
  const groups = new Map<number, DarkFrame[]>();
  for (const frame of frames) {
    const factor = exposureFactor(frame.exposure);
    groups.set(factor, [...(groups.get(factor) ?? []), frame]);
  }
  return [...groups.values()].map((group) => {
    const data = new Float32Array(group[0]!.plane.data.length);
    for (const { plane } of group)
      for (let i = 0; i < data.length; i++) data[i]! += plane.data[i]! / group.length;
    return { plane: { ...group[0]!.plane, data }, exposure: group[0]!.exposure };
  });
}

/** A pixel so many standard deviations off what lies around it is a hot one, and stays as it is. */
const HOT_SIGMAS = 6;

/**
 * A dark frame without its noise, which every photo would take over with it: stray light changes slowly.
 *
 * @param counted - 1 for pixels of the sheet within the cells' reach; the others stay as they are, and tell nothing of
 *   stray light on the sheet
 * @param sigmaPx - standard deviation of the Gaussian window, pixels
 */
export function smoothDark({ plane, exposure }: DarkFrame, counted: Uint8Array, sigmaPx: number): DarkFrame {
  const first = meanAround(plane, counted, sigmaPx);
  const off = plane.data.map((value, at) => value - first[at]!);
  const scale = madScale(
    off.filter((_, at) => counted[at]),
    0,
  );
  const usual = counted.map((own, at) => (own && Math.abs(off[at]!) < HOT_SIGMAS * scale ? 1 : 0));
  const mean = meanAround(plane, usual, sigmaPx);
  const data = plane.data.map((value, at) => (usual[at] ? mean[at]! : value));
  return { plane: { ...plane, data }, exposure };
}

/** Mean of the pixels that count, in a Gaussian window about each pixel; NaN where none is near. */
function meanAround(plane: Plane, counted: Uint8Array, sigmaPx: number): Float32Array {
  const light = blur({ ...plane, data: plane.data.map((value, at) => value * counted[at]!) }, sigmaPx).data;
  const weight = blur({ ...plane, data: Float32Array.from(counted) }, sigmaPx).data;
  return light.map((sum, at) => sum / weight[at]!);
}

/**
 * Takes stray light off a photo: the dark frame whose exposure is nearest, scaled to the photo's exposure; as it is where
 * their exposures aren't known to compare.
 *
 * @param photo - reduced photo
 * @param exposure - its exposure
 * @param darks - from {@link averageDarks}; none leaves the photo as it is
 */
export function takeDarkOff(
  photo: ReducedPhoto,
  exposure: Exposure,
  darks: readonly DarkFrame[],
): ReducedPhoto {
  const scaleOf = (dark: DarkFrame): number =>
    comparable([exposure, dark.exposure]) ? exposureFactor(exposure) / exposureFactor(dark.exposure) : 1;
  const nearest = [...darks].sort(
    (a, b) => Math.abs(Math.log(scaleOf(a))) - Math.abs(Math.log(scaleOf(b))),
  )[0];
  if (!nearest) return photo;
  const scale = scaleOf(nearest);
  return { ...photo, data: photo.data.map((light, at) => light - scale * nearest.plane.data[at]!) };
}
