import { madScale } from '@twolamp/numeric';
import type { Plane, ReducedPhoto } from '@twolamp/session';
import { blur, EnlargedPlane } from '@twolamp/places';
import { comparable, type Exposure, exposureFactor } from './exposure.js';

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
    if (group.length === 1) return group[0];
    const data = new Float32Array(group[0].plane.data.length);
    for (const { plane } of group)
      for (let i = 0; i < data.length; i++) data[i] += plane.data[i] / group.length;
    const { plane, exposure } = group[0];
    return { plane: { width: plane.width, height: plane.height, data }, exposure };
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
  const { data } = plane;
  const first = meanAround(plane, counted, sigmaPx);
  const limit = HOT_SIGMAS * madScale(sampledMisses(plane, counted, first), 0);
  const typical = counted.slice();
  let hot = 0;
  for (let y = 0, at = 0; y < plane.height; y++) {
    const mean = first.row(y);
    for (let x = 0; x < plane.width; x++, at++) {
      if (typical[at] === 0 || Math.abs(data[at] - mean[x]) < limit) continue;
      typical[at] = 0;
      hot++;
    }
  }
  const second = hot > 0 ? meanAround(plane, typical, sigmaPx) : first;
  const smooth = data.slice();
  for (let y = 0, at = 0; y < plane.height; y++) {
    const mean = second.row(y);
    for (let x = 0; x < plane.width; x++, at++) if (typical[at]) smooth[at] = mean[x];
  }
  return { plane: { width: plane.width, height: plane.height, data: smooth }, exposure };
}

/** Judgement: more pixels change a median by less than a hundredth of the scatter. */
const MOST_SAMPLED = 30_000;

/** How far some of the pixels that count, spread evenly, lie off the mean around them. */
function sampledMisses({ width, height, data }: Plane, counted: Uint8Array, mean: EnlargedPlane): number[] {
  // An odd step doesn't fall into step with the rows.
  const step = Math.floor((width * height) / MOST_SAMPLED) | 1;
  const misses: number[] = [];
  for (let y = 0, next = 0; y < height; y++) {
    const row = mean.row(y);
    for (; next < (y + 1) * width; next += step) {
      if (counted[next]) misses.push(data[next] - row[next - y * width]);
    }
  }
  return misses;
}

/** Steps a standard deviation that a Gaussian window needs: a mean over fewer pixels is as good, and quicker. */
const STEPS = 3;

/** Mean of the pixels that count, in a Gaussian window about each pixel; NaN where none is near. */
function meanAround(plane: Plane, counted: Uint8Array, sigmaPx: number): EnlargedPlane {
  const factor = Math.max(1, Math.min(Math.floor(sigmaPx / STEPS), plane.width, plane.height));
  const width = Math.floor(plane.width / factor);
  const height = Math.floor(plane.height / factor);
  const [sums, counts] = [new Float32Array(width * height), new Float32Array(width * height)];
  for (let y = 0; y < height * factor; y++) {
    const to = Math.floor(y / factor) * width;
    let at = y * plane.width;
    for (let x = 0; x < width; x++) {
      for (const end = at + factor; at < end; at++) {
        if (!counted[at]) continue;
        sums[to + x] += plane.data[at];
        counts[to + x]++;
      }
    }
  }
  const light = blur({ width, height, data: sums }, sigmaPx / factor);
  const weight = blur({ width, height, data: counts }, sigmaPx / factor);
  const data = light.data.map((sum, at) => sum / weight.data[at]);
  return new EnlargedPlane({ width, height, data }, factor, plane.width);
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
  const { width, height, clipped, factor } = photo;
  return { width, height, data: lessScaled(photo.data, data, scale), clipped, factor };
}

function lessScaled(data: Float32Array, other: Float32Array, scale: number): Float32Array {
  const less = new Float32Array(data.length);
  for (let at = 0; at < less.length; at++) less[at] = data[at] - scale * other[at];
  return less;
}
