import { madScale } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import { comparable, type Exposure, exposureFactor } from './exposure.js';
import { blur } from './filters.js';
import { type ReducedPhoto, reducePlane } from './plane.js';

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
    const data = new Float32Array(group[0].plane.data.length);
    for (const { plane } of group)
      for (let i = 0; i < data.length; i++) data[i] += plane.data[i] / group.length;
    return { plane: { ...group[0].plane, data }, exposure: group[0].exposure };
  });
}

/** A pixel so many standard deviations off what lies around it is a hot one, and stays as it is. */
const HOT_SIGMAS = 6;

/**
 * A dark frame without its noise, which every photo would take over with it: stray light changes slowly.
 *
 * @param counted - 1 for pixels of the sheet within the cells' reach; the others stay as they are, and say nothing about
 *   stray light on the sheet
 * @param sigmaPx - standard deviation of the Gaussian window, pixels
 */
export function smoothDark({ plane, exposure }: DarkFrame, counted: Uint8Array, sigmaPx: number): DarkFrame {
  const first = meanAround(plane, counted, sigmaPx);
  const off: number[] = [];
  for (let at = 0; at < counted.length; at++) if (counted[at]) off.push(plane.data[at] - first[at]);
  const limit = HOT_SIGMAS * madScale(off, 0);
  const typical = counted.map((own, at) => (own && Math.abs(plane.data[at] - first[at]) < limit ? 1 : 0));
  const mean = meanAround(plane, typical, sigmaPx);
  const data = plane.data.slice();
  for (let at = 0; at < data.length; at++) if (typical[at]) data[at] = mean[at];
  return { plane: { ...plane, data }, exposure };
}

/** Steps a standard deviation that a Gaussian window needs: a mean over fewer pixels is as good, and quicker. */
const STEPS = 3;

/** Mean of the pixels that count, in a Gaussian window about each pixel; NaN where none is near. */
function meanAround(plane: Plane, counted: Uint8Array, sigmaPx: number): Float32Array {
  const factor = Math.max(1, Math.min(Math.floor(sigmaPx / STEPS), plane.width, plane.height));
  const masked = new Float32Array(plane.data.length);
  for (let at = 0; at < masked.length; at++) if (counted[at]) masked[at] = plane.data[at];
  const light = blur(reducePlane({ ...plane, data: masked }, factor), sigmaPx / factor);
  const weight = blur(reducePlane({ ...plane, data: Float32Array.from(counted) }, factor), sigmaPx / factor);
  const small = { ...light, data: light.data.map((sum, at) => sum / weight.data[at]) };
  return factor === 1 ? small.data : enlarged(small, factor, plane);
}

/** A plane enlarged again by a whole factor, bilinear; beyond the outermost pixels' middles it goes on evenly. */
function enlarged({ width, height, data }: Plane, factor: number, to: Plane): Float32Array {
  const large = new Float32Array(to.width * to.height);
  const place = (pixel: number, size: number): number =>
    Math.min(Math.max((pixel + 0.5) / factor - 0.5, 0), size - 1);
  for (let y = 0; y < to.height; y++) {
    const gy = place(y, height);
    const row = Math.min(Math.floor(gy), Math.max(height - 2, 0));
    const below = Math.min(row + 1, height - 1) * width;
    for (let x = 0; x < to.width; x++) {
      const gx = place(x, width);
      const column = Math.min(Math.floor(gx), Math.max(width - 2, 0));
      const right = Math.min(column + 1, width - 1);
      const [fx, fy] = [gx - column, gy - row];
      const upper = data[row * width + column] * (1 - fx) + data[row * width + right] * fx;
      const lower = data[below + column] * (1 - fx) + data[below + right] * fx;
      large[y * to.width + x] = upper * (1 - fy) + lower * fy;
    }
  }
  return large;
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
  const { data } = nearest.plane;
  const clear = new Float32Array(data.length);
  for (let at = 0; at < clear.length; at++) clear[at] = photo.data[at] - scale * data[at];
  return { ...photo, data: clear };
}
