import type { Plane, ShotPhoto } from '@twolamp/session';
import { autocorrelation } from '../light/autocorrelation.js';
import { bandsOf } from '../light/filters.js';
import { reducePhoto } from '../light/plane.js';
import {
  brightestWindow,
  brightParts,
  LARGEST_SIDE,
  LEAST_PITCH_PX,
  SCALES,
  rootOf,
} from '../lattice/period.js';

/** Judgement. Pixels a pitch at which neighbours can't be taken for one. */
const FINE_PITCH_PX = 12;
/** Judgement. Least mean of the autocorrelation around the first ring: below it no tubes show. */
const LEAST_CLARITY = 0.03;

interface Ring {
  readonly radius: number;
  readonly height: number;
}

/** The highest ring of a picture's autocorrelation, its mean over all directions, beyond the first trough. */
function highestRing(plane: Plane, most: number): Ring | null {
  const reach = Math.min(Math.ceil(most), plane.width - 3, plane.height - 3);
  const { width, height, data } = autocorrelation(plane, reach + 3);
  const [sums, counts] = [new Float64Array(reach + 2), new Float64Array(reach + 2)];
  for (let y = -reach; y <= reach; y++) {
    for (let x = 0; x <= reach; x++) {
      const radius = Math.hypot(x, y);
      const at = Math.floor(radius);
      if (at > reach) continue;
      const value = data[((y + height) % height) * width + (x % width)];
      sums[at] += (at + 1 - radius) * value;
      counts[at] += at + 1 - radius;
      sums[at + 1] += (radius - at) * value;
      counts[at + 1] += radius - at;
    }
  }
  const mean = sums.map((sum, n) => sum / counts[n]);
  let n = 1;
  while (n < reach && mean[n + 1] < mean[n]) n++;
  let best: Ring | null = null;
  for (; n < reach; n++) {
    if (mean[n] < mean[n - 1] || mean[n] < mean[n + 1] || (best && mean[n] <= best.height)) continue;
    const bend = mean[n - 1] - 2 * mean[n] + mean[n + 1];
    const radius = n + (bend < 0 ? (mean[n - 1] - mean[n + 1]) / (2 * bend) : 0);
    best = { radius, height: mean[n] };
  }
  return best;
}

function pitchOf(plane: Plane, longest: number): number | null {
  const bandTo = bandsOf(rootOf(plane), 1);
  // The pitch may be anything up to `longest`: the background is taken off at the scale that leaves the clearest ring.
  const rough = SCALES.map((share) =>
    highestRing(brightParts(bandTo(Math.max(share * longest, 4))), 1.3 * longest),
  ).reduce((best, ring) => (ring && (!best || ring.height > best.height) ? ring : best), null);
  if (!rough) return null;
  const ring = highestRing(brightParts(bandTo(0.5 * rough.radius)), 1.5 * rough.radius);
  return ring && ring.height >= LEAST_CLARITY ? ring.radius : null;
}

/**
 * Distance of neighbouring tubes, from the first ring of the picture's autocorrelation: packed tubes have a distance in
 * common, but no directions. Good to a few hundredths.
 *
 * @param photo - the even shot
 * @param tubes - how many there are at least; bounds the distance from above
 * @returns in pixels of `photo`; null where no such distance shows
 */
export function packedPitch(photo: ShotPhoto, tubes: number): number | null {
  const longest = Math.sqrt((2 * photo.width * photo.height) / (Math.sqrt(3) * tubes));
  const start = Math.ceil(Math.max(photo.width, photo.height) / LARGEST_SIDE);
  for (let factor = start; factor >= 1; factor = factor === 1 ? 0 : Math.ceil(factor / 2)) {
    const found = pitchOf(brightestWindow(reducePhoto(photo, factor)), Math.max(longest / factor, 4));
    if (found !== null && (factor === 1 || found >= LEAST_PITCH_PX)) return confirmed(photo, found, factor);
  }
  return null;
}

/**
 * The distance looked at again in a finer picture: in a coarse one the tubes themselves may be blurred away, and what
 * shows is the distance of every second one.
 *
 * @param found - in pixels of the photo reduced by `factor`
 * @returns in pixels of `photo`
 */
function confirmed(photo: ShotPhoto, found: number, factor: number): number {
  const finer = Math.max(1, Math.floor((found * factor) / FINE_PITCH_PX));
  if (finer >= factor) return found * factor;
  const again = pitchOf(brightestWindow(reducePhoto(photo, finer)), (1.5 * found * factor) / finer);
  return again === null ? found * factor : confirmed(photo, again, finer);
}
