import { median, NEIGHBOUR_PITCHES, triangulate } from '@twolamp/numeric';
import { type ArraySpec, InputError, type ShotPhoto } from '@twolamp/session';
import {
  factorFor,
  type FoundLattice,
  IN_FOCUS,
  requireCoarse,
  spotUnitOf,
} from '../lattice/find-lattice.js';
import { findSpots, type Spots } from '../lattice/spots.js';
import { LEAST_FOUND_SHARE, MOST_STRAYS, STRAY_SHARE } from '../lattice/tuning.js';
import { fitWarp } from '../lattice/warp.js';
import { type ReducedPhoto, reducePhoto } from '../light/plane.js';
import { centred } from './centred.js';
import { darkPlaces } from './dark-places.js';
import { packedPitch } from './pitch.js';
import { readingOrder } from './reading-order.js';
import { seenStraightOn } from './sheet-map.js';
import { LEAST_APART, LEAST_BESIDE, WEAK, WHOLE_PITCHES } from './tuning.js';

/**
 * Finds every tube of a packed bundle in the even shot, without rows and columns: spots, the distance that they keep from
 * their neighbours, and dark tubes where the tubes around leave room for one.
 *
 * @param photo - the even shot, linear light
 * @param array - stated number of tubes, which bounds the pitch
 * @param name - the photo's name, for messages
 * @returns cells in reading order; u and v are their places in pitches from the middle, seen straight on
 * @throws InputError where no packed tubes show
 */
export function findPacked(photo: ShotPhoto, array: ArraySpec, name: string): FoundLattice {
  const stated = array.tubes ?? 1;
  const pitch = packedPitch(photo, LEAST_FOUND_SHARE * stated);
  if (pitch === null) throw new InputError(name, 'no pattern of tubes shows', IN_FOCUS);
  requireCoarse(pitch, name);
  let found = spotsAt(photo, factorFor(pitch, 1), pitch);
  for (let round = 0; round < 2; round++) {
    const finer = factorFor(pitch, found.spotUnit);
    if (finer >= found.picture.factor) break;
    found = spotsAt(photo, finer, pitch);
  }
  const { picture, spots, spotUnit } = found;
  const kept = tubesAmong(spots, found.pitchPx);
  const lit = kept.length;
  if (lit < Math.max(4, LEAST_FOUND_SHARE * stated)) {
    throw new InputError(name, `only ${lit} tubes were found, ${stated} stated`, IN_FOCUS);
  }
  const [spotX, spotY] = [kept.map((k) => spots.x[k]), kept.map((k) => spots.y[k])];
  const { x, y } = centred(picture, spotX, spotY, found.pitchPx);
  const pitchPx = neighbourDistance(x, y, found.pitchPx);
  const seen = seenStraightOn(x, y, triangulate(x, y, NEIGHBOUR_PITCHES * pitchPx).neighbours);
  requireWhole(x, y, picture, pitchPx, name);
  const warp = fitWarp(x.map((px, k) => ({ u: seen.u[k], v: seen.v[k], x: px, y: y[k] })));
  if (!warp) throw new InputError(name, 'the tubes that were found all lie on a line', IN_FOCUS);
  const dark = darkPlaces(seen.u, seen.v).map((place) => ({ ...place, at: warp.at(place.u, place.v) }));
  const u = [...seen.u, ...dark.map((place) => place.u)];
  const v = [...seen.v, ...dark.map((place) => place.v)];
  const px = [...x, ...dark.map(({ at }) => at[0])];
  const py = [...y, ...dark.map(({ at }) => at[1])];
  const order = readingOrder(u, v, triangulate(u, v, NEIGHBOUR_PITCHES).neighbours);
  const ordered = (values: readonly number[]) => Float64Array.from(order, (k) => values[k]);
  return {
    picture,
    lattice: {
      x: ordered(px),
      y: ordered(py),
      u: ordered(u),
      v: ordered(v),
      found: Uint8Array.from(order, (k) => (k < lit ? 1 : 0)),
      filled: new Uint8Array(order.length).fill(1),
      warp,
      pitchPx,
      spotUnit,
      unfilled: [],
      litUnstated: [],
    },
  };
}

/** Refuses a bundle that the picture's edge cuts: the light of the cut tubes can't be told from that of those beside them. */
function requireWhole(
  x: readonly number[],
  y: readonly number[],
  { width, height }: ReducedPhoto,
  pitchPx: number,
  name: string,
): void {
  const cut = x.filter(
    (px, k) => Math.min(px, y[k], width - 1 - px, height - 1 - y[k]) < WHOLE_PITCHES * pitchPx,
  ).length;
  if (cut <= Math.max(MOST_STRAYS, STRAY_SHARE * x.length)) return;
  throw new InputError(
    name,
    `the picture’s edge cuts ${cut} of the ${x.length} tubes that show light`,
    'the whole bundle inside the picture, with room for one more tube all around',
  );
}

interface PackedSpots {
  readonly picture: ReducedPhoto;
  readonly spots: Spots;
  readonly pitchPx: number;
  readonly spotUnit: number;
}

function spotsAt(photo: ShotPhoto, factor: number, photoPitchPx: number): PackedSpots {
  const picture = reducePhoto(photo, factor);
  const pitchPx = photoPitchPx / factor;
  const spots = findSpots(picture, pitchPx);
  return { picture, spots, pitchPx, spotUnit: spotUnitOf(picture, spots, pitchPx) };
}

/** Median distance of touching tubes. */
function neighbourDistance(x: readonly number[], y: readonly number[], pitchPx: number): number {
  const { neighbours } = triangulate(x, y, 1.25 * pitchPx);
  return median(neighbours.flatMap((list, k) => list.map((to) => Math.hypot(x[to] - x[k], y[to] - y[k]))));
}

/** The spots that are tubes: not beside a stronger one too near, and part of the largest bundle. */
function tubesAmong({ x, y, strength }: Spots, pitchPx: number): number[] {
  const all = Array.from(x.keys());
  const near = triangulate(x, y, NEIGHBOUR_PITCHES * pitchPx).neighbours;
  const apart = all.filter((k) => {
    const crowded = near[k].some(
      (to) => strength[to] > strength[k] && Math.hypot(x[to] - x[k], y[to] - y[k]) < LEAST_APART * pitchPx,
    );
    return !crowded && (strength[k] >= WEAK || near[k].length >= LEAST_BESIDE);
  });
  const linked = triangulate(
    apart.map((k) => x[k]),
    apart.map((k) => y[k]),
    NEIGHBOUR_PITCHES * pitchPx,
  ).neighbours;
  return largestGroup(linked).map((n) => apart[n]);
}

/** Members of the largest connected group. */
function largestGroup(links: readonly (readonly number[])[]): number[] {
  const seen = new Uint8Array(links.length);
  let largest: number[] = [];
  for (let start = 0; start < links.length; start++) {
    if (seen[start]) continue;
    seen[start] = 1;
    const group = [start];
    for (let at = 0; at < group.length; at++) {
      for (const to of links[group[at]]) {
        if (seen[to]) continue;
        seen[to] = 1;
        group.push(to);
      }
    }
    if (group.length > largest.length) largest = group;
  }
  return largest.sort((a, b) => a - b);
}
