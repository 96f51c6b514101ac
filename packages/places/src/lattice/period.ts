import type { ArraySpec, Plane, ShotPhoto } from '@twolamp/session';
import { autocorrelation } from '../light/autocorrelation.js';
import { bandsOf } from '../light/filters.js';
import { crop, samplePhoto } from '../light/plane.js';

/** Two neighbour steps of the lattice in pixels: `a` to the next column, `b` to the next row (hexagonal: down and right). */
export interface Period {
  readonly a: readonly [number, number];
  readonly b: readonly [number, number];
  /** Height of the autocorrelation at the lattice's first ring, 0 to 1: how clear the pattern is. */
  readonly clarity: number;
}

export const LARGEST_SIDE = 800;
/** A window so many of the longest pitches wide shows the pattern as clearly as a larger one, unless that is very small. */
const ENOUGH_PITCHES = 40;
const LEAST_SIDE = 300;
/** Pixels a pitch below which neighbouring spots are not told apart. */
export const LEAST_PITCH_PX = 6;
/** Pixels of the first look's picture that the longest pitch has. */
const FIRST_PITCH_PX = 12;
const LEAST_CLARITY = 0.08;
/** Scales at which the background is taken off, as shares of the longest pitch. */
export const SCALES = [1, 0.5, 0.25];
/** How strong the lattice's steps are against the strongest repeat; the second is the weaker where rows are few. */
const FIRST_SHARE = 0.6;
const SECOND_SHARE = 0.3;

interface Lag {
  readonly x: number;
  readonly y: number;
  readonly value: number;
}

const length = ([x, y]: readonly [number, number]): number => Math.hypot(x, y);
const angleDeg = (x: number, y: number): number => (Math.atan2(y, x) * 180) / Math.PI;

/** Local maxima of the autocorrelation in the half plane x ≥ 0, sub-pixel by a parabola each way. */
function peaksOf(correlation: Plane, least: number, most: number): Lag[] {
  const { width, height, data } = correlation;
  const at = (x: number, y: number): number => data[((y + height) % height) * width + ((x + width) % width)]!;
  const peaks: Lag[] = [];
  const reach = Math.ceil(most);
  for (let y = -reach; y <= reach; y++) {
    for (let x = 0; x <= reach; x++) {
      const radius = Math.hypot(x, y);
      if (radius < least || radius > most || (x === 0 && y < 0)) continue;
      const value = at(x, y);
      let highest = value > 0;
      for (let dy = -2; dy <= 2 && highest; dy++) {
        for (let dx = -2; dx <= 2; dx++) {
          if ((dx !== 0 || dy !== 0) && at(x + dx, y + dy) > value) highest = false;
        }
      }
      if (!highest) continue;
      const vertex = (before: number, after: number): number => {
        const bend = before - 2 * value + after;
        return bend < 0 ? (before - after) / (2 * bend) : 0;
      };
      peaks.push({
        x: x + vertex(at(x - 1, y), at(x + 1, y)),
        y: y + vertex(at(x, y - 1), at(x, y + 1)),
        value,
      });
    }
  }
  return peaks;
}

/** Of the lattice spanned by two steps, the ones that lie nearest to the wanted directions (degrees, y down). */
function orient(first: Lag, second: Lag, hexagonal: boolean): Pick<Period, 'a' | 'b'> {
  const steps: [number, number][] = [
    [first.x, first.y],
    [second.x, second.y],
  ];
  if (hexagonal) {
    const between = Math.abs(angleDeg(first.x, first.y) - angleDeg(second.x, second.y));
    const sign = Math.min(between, 360 - between) < 90 ? -1 : 1;
    steps.push([first.x + sign * second.x, first.y + sign * second.y]);
  }
  const all = [...steps, ...steps.map(([x, y]): [number, number] => [-x, -y])];
  const nearest = (wanted: number): [number, number] => {
    const off = ([x, y]: [number, number]): number => {
      const difference = Math.abs(angleDeg(x, y) - wanted) % 360;
      return Math.min(difference, 360 - difference);
    };
    return all.reduce((best, step) => (off(step) < off(best) ? step : best));
  };
  const a = nearest(0);
  return { a, b: nearest(angleDeg(a[0], a[1]) + (hexagonal ? 60 : 90)) };
}

/** Lags at which a picture repeats, nearest first, and how strongly it does at most. */
function repeatsOf(plane: Plane, mostPx: number): { lags: Lag[]; highest: number } {
  const most = Math.min(mostPx, plane.width - 3, plane.height - 3);
  const lags = peaksOf(autocorrelation(plane, Math.ceil(most) + 3), 3, most);
  lags.sort((p, q) => Math.hypot(p.x, p.y) - Math.hypot(q.x, q.y));
  return { lags, highest: Math.max(...lags.map((lag) => lag.value), 0) };
}

/** What lies above 0, its mean taken off. */
export function brightParts(plane: Plane): Plane {
  const data = plane.data.slice();
  let sum = 0;
  for (let at = 0; at < data.length; at++) {
    if (data[at] < 0) data[at] = 0;
    sum += data[at];
  }
  const mean = sum / data.length;
  for (let at = 0; at < data.length; at++) data[at] -= mean;
  return { width: plane.width, height: plane.height, data };
}

/** A plane's light as its square root, so that bright cells don't drown the others. */
export function rootOf(plane: Plane): Plane {
  const data = new Float32Array(plane.data.length);
  for (let at = 0; at < data.length; at++) data[at] = Math.sqrt(Math.max(plane.data[at], 0));
  return { width: plane.width, height: plane.height, data };
}

function periodOf(plane: Plane, longest: number, hexagonal: boolean): Period | null {
  const bandTo = bandsOf(rootOf(plane), 1);
  const nearest = ({ lags, highest }: ReturnType<typeof repeatsOf>): Lag | undefined =>
    highest < LEAST_CLARITY ? undefined : lags.find((lag) => lag.value >= FIRST_SHARE * highest);
  // The pitch may be anything up to `longest`: the background is taken off at the scale that leaves the clearest pattern.
  const scales = SCALES.map((share) => repeatsOf(bandTo(Math.max(share * longest, 4)), 1.3 * longest));
  const rough = nearest(scales.reduce((best, one) => (one.highest > best.highest ? one : best)));
  if (!rough) return null;
  // Again with nothing but the spots: the array's rim, or a dark row, repeats along itself and drowns the other step.
  const pitch = Math.hypot(rough.x, rough.y);
  const repeats = repeatsOf(brightParts(bandTo(0.5 * pitch)), 1.5 * pitch);
  const first = nearest(repeats);
  if (!first) return null;
  const second = repeats.lags.find((lag) => {
    const cross = Math.abs(first.x * lag.y - first.y * lag.x);
    const across = cross > 0.5 * Math.hypot(first.x, first.y) * Math.hypot(lag.x, lag.y);
    return across && lag.value >= SECOND_SHARE * repeats.highest;
  });
  return second ? { ...orient(first, second, hexagonal), clarity: repeats.highest } : null;
}

/** The brightest window of a plane, no larger than this each way. */
export function brightestWindow(plane: Plane, largest = LARGEST_SIDE): Plane {
  if (Math.max(plane.width, plane.height) <= largest) return plane;
  const width = Math.min(plane.width, largest);
  const height = Math.min(plane.height, largest);
  let sum = 0;
  let sumX = 0;
  let sumY = 0;
  for (let y = 0; y < plane.height; y += 8) {
    for (let x = 0; x < plane.width; x += 8) {
      const light = plane.data[y * plane.width + x]!;
      sum += light;
      sumX += light * x;
      sumY += light * y;
    }
  }
  const start = (middle: number, size: number, whole: number): number =>
    Math.min(Math.max(Math.round(middle - size / 2), 0), whole - size);
  const middleX = sum > 0 ? sumX / sum : plane.width / 2;
  const middleY = sum > 0 ? sumY / sum : plane.height / 2;
  return crop(plane, start(middleX, width, plane.width), start(middleY, height, plane.height), width, height);
}

/**
 * The lattice's steps, from the picture's autocorrelation: first on a reduced picture, then, where the cells are too
 * small there, on finer ones.
 *
 * @param photo - the even shot
 * @param array - arrangement, and rows and columns, which bound the pitch from above
 * @returns steps in pixels of `photo`; null where no lattice shows
 */
export function findPeriod(photo: ShotPhoto, array: ArraySpec): Period | null {
  const hexagonal = array.arrangement === 'hexagonal';
  const rowStep = hexagonal ? Math.sqrt(3) / 2 : 1;
  const longest = Math.min(
    photo.width / (array.columns - 0.5),
    photo.height / ((array.rows - 0.5) * rowStep),
  );
  const small = Math.ceil(Math.max(photo.width, photo.height) / LARGEST_SIDE);
  // Rows and columns may be a guess: no more than twice as coarse for them.
  const start = Math.max(small, Math.min(Math.floor(longest / FIRST_PITCH_PX), 2 * small));
  for (let factor = start; factor >= 1; factor = factor === 1 ? 0 : Math.ceil(factor / 2)) {
    const most = longest / factor;
    const largest = Math.min(LARGEST_SIDE, Math.max(LEAST_SIDE, Math.ceil(ENOUGH_PITCHES * most)));
    const found = periodOf(brightestWindow(samplePhoto(photo, factor), largest), most, hexagonal);
    if (!found || (factor > 1 && Math.min(length(found.a), length(found.b)) < LEAST_PITCH_PX)) continue;
    const scaled = ([x, y]: readonly [number, number]): [number, number] => [x * factor, y * factor];
    return { a: scaled(found.a), b: scaled(found.b), clarity: found.clarity };
  }
  return null;
}
