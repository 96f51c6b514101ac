import { comparable, type Exposure, exposureFactor } from './exposure.js';
import type { Plane, ReducedPhoto } from './plane.js';

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
