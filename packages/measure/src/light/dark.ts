import type { Plane, ReducedPhoto } from './plane.js';

/** A dark frame, reduced as the other photos are, with its exposure factor. */
export interface DarkFrame {
  readonly plane: Plane;
  readonly factor: number;
}

/** Averages frames of the same exposure, so that each exposure has one dark frame with the least noise. */
export function averageDarks(frames: readonly DarkFrame[]): DarkFrame[] {
  const groups = new Map<number, DarkFrame[]>();
  for (const frame of frames) groups.set(frame.factor, [...(groups.get(frame.factor) ?? []), frame]);
  return [...groups.values()].map((group) => {
    const data = new Float32Array(group[0]!.plane.data.length);
    for (const { plane } of group)
      for (let i = 0; i < data.length; i++) data[i]! += plane.data[i]! / group.length;
    return { plane: { ...group[0]!.plane, data }, factor: group[0]!.factor };
  });
}

/**
 * Takes stray light off a photo: the dark frame whose exposure is nearest, scaled to the photo's exposure.
 *
 * @param photo - reduced photo
 * @param factor - its exposure factor
 * @param darks - from {@link averageDarks}; none leaves the photo as it is
 */
export function takeDarkOff(photo: ReducedPhoto, factor: number, darks: readonly DarkFrame[]): ReducedPhoto {
  const apart = (dark: DarkFrame): number => Math.abs(Math.log(dark.factor / factor));
  const nearest = [...darks].sort((a, b) => apart(a) - apart(b))[0];
  if (!nearest) return photo;
  const scale = factor / nearest.factor;
  return { ...photo, data: photo.data.map((light, at) => light - scale * nearest.plane.data[at]!) };
}
