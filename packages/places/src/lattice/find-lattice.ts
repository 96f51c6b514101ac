import { mapAt, placeLayout } from '@twolamp/optics';
import { type ArraySpec, InputError, type ShotPhoto } from '@twolamp/session';
import { type ReducedPhoto, reducePhoto } from '../light/plane.js';
import { type CompleteLattice, completeLattice } from './complete-lattice.js';
import { growLattice, keyOf } from './grow.js';
import { findPeriod, type Period } from './period.js';
import { coordinatesOf, indicesOf, type Placement, rowAndColumn } from './place.js';
import { placeArray, type SpotPoint } from './place-array.js';
import { spotWidthPx } from './spot-width.js';
import { findSpots, type Spots } from './spots.js';
import {
  CUT_PITCHES,
  HEALTHY,
  LEAST_FOUND_SHARE,
  LEAST_PITCH_PX,
  NARROW_PITCHES,
  WORKING_PITCH_PX,
} from './tuning.js';
import type { Warp } from './warp.js';

/** Fewest pixels in the radius of a narrow spot's profile: with fewer its knots lie closer than the pixels. */
const LEAST_UNIT_PX = 5;

/** A place of the array by row and column; outside the stated ones it may be 0 or more than there are. */
export interface ArrayPlace {
  readonly row: number;
  readonly column: number;
}

/** A hole without a tube, and where it lies in the reduced picture. */
export interface UnfilledPlace extends ArrayPlace {
  readonly x: number;
  readonly y: number;
}

/**
 * Places in the even shot, in pixels of the reduced picture; N cells in reading order: all tubes, and the holes without a
 * tube that let light through.
 */
export interface Lattice {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** 1 where a spot was found, 0 where the place is the smooth map's. */
  readonly found: Uint8Array;
  /** 1 where a tube is stated, 0 in a hole without one. */
  readonly filled: Uint8Array;
  /** Smooth map from lattice co-ordinates: u to the right, v down in rows. */
  readonly warp: Warp;
  /** Lattice co-ordinates of each cell. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Mean distance of neighbouring cells, in pixels of the reduced picture. */
  readonly pitchPx: number;
  /** Unit of the spots' co-ordinates in pitches: 1, and less where spots are narrow. */
  readonly spotUnit: number;
  /** All stated holes without a tube, dark or not. */
  readonly unfilled: readonly UnfilledPlace[];
  /** Where the photo shows a tube's light and the session states none. */
  readonly litUnstated: readonly ArrayPlace[];
}

/** The lattice, and the reduced picture it was found in. */
export interface FoundLattice {
  readonly lattice: Lattice;
  readonly picture: ReducedPhoto;
}

/** The spots of a photo in their lattice, before it is known where in it the array lies. */
export interface SpotLattice extends CompleteLattice {
  readonly picture: ReducedPhoto;
  readonly spots: Spots;
  readonly pitchPx: number;
  readonly spotUnit: number;
}

export const IN_FOCUS = 'the whole array, evenly lit, in focus';

const pitchOf = (period: Period): number => (Math.hypot(...period.a) + Math.hypot(...period.b)) / 2;

/** The lattice's two shortest steps stand at right angles in a square arrangement, at 60° in a hexagonal one. */
function requireArrangement(array: ArraySpec, { a, b }: Period, photo: string): void {
  const steps = [a, b, [a[0] + b[0], a[1] + b[1]], [a[0] - b[0], a[1] - b[1]]] as const;
  const [first, second] = [...steps].sort((p, q) => Math.hypot(...p) - Math.hypot(...q));
  const [[x1, y1], [x2, y2]] = [first!, second!];
  const angleDeg = (Math.atan2(Math.abs(x1 * y2 - y1 * x2), Math.abs(x1 * x2 + y1 * y2)) * 180) / Math.PI;
  const seen = angleDeg > 75 ? 'square' : angleDeg > 48 && angleDeg < 72 ? 'hexagonal' : null;
  if (seen !== null && seen !== array.arrangement) {
    throw new InputError(photo, `a ${seen} lattice was found, ${array.arrangement} stated`);
  }
}

/** Spots and their lattice on the photo reduced by a factor. */
function latticeAt(photo: ShotPhoto, factor: number, unit: number, period: Period, hexagonal: boolean) {
  const picture = reducePhoto(photo, factor);
  const scaled = ([x, y]: readonly [number, number]): [number, number] => [x / factor, y / factor];
  const working: Period = { ...period, a: scaled(period.a), b: scaled(period.b) };
  const pitchPx = pitchOf(working);
  const spots = findSpots(picture, pitchPx, unit);
  const grown = growLattice(spots, working, hexagonal);
  const complete = completeLattice(grown, spots, pitchPx, hexagonal);
  return { picture, spots, pitchPx, complete, grown };
}

/** Reduction that keeps enough pixels a pitch, and enough across a narrow spot. */
export function factorFor(pitchPx: number, unit: number): number {
  return Math.max(1, Math.round((unit * pitchPx) / WORKING_PITCH_PX));
}

/** Refuses a photo in which the tubes are too fine to separate. */
export function requireCoarse(photoPitchPx: number, name: string): void {
  if (photoPitchPx >= LEAST_PITCH_PX) return;
  throw new InputError(
    name,
    `neighbouring tubes are ${photoPitchPx.toFixed(1)} pixels apart, too fine to separate`,
    `${LEAST_PITCH_PX} pixels or more: go closer, use a finer picture, or photograph the array in parts`,
  );
}

/** Unit of the spots' co-ordinates in pitches: 1, and less where the spots are narrow. */
export function spotUnitOf(picture: ReducedPhoto, spots: Spots, pitchPx: number): number {
  const width = spotWidthPx(picture, spots, pitchPx) / pitchPx;
  const least = LEAST_UNIT_PX / pitchPx;
  return Number.isFinite(width) ? Math.min(1, Math.max(width / NARROW_PITCHES, Math.min(1, least))) : 1;
}

/**
 * The lattice of spots in a photo.
 *
 * Nothing of the picture is asked: the pitch comes from its autocorrelation, the lattice is grown over the spots, the
 * places of dark cells come from a smooth map.
 *
 * @param photo - linear light
 * @param array - stated arrangement; rows and columns bound the pitch from above
 * @param name - the photo's name, for messages
 * @throws InputError where no lattice shows, or not the stated one
 */
export function spotLattice(photo: ShotPhoto, array: ArraySpec, name: string): SpotLattice {
  const hexagonal = array.arrangement === 'hexagonal';
  const period = findPeriod(photo, array);
  if (!period) throw new InputError(name, 'no regular pattern of cells shows', IN_FOCUS);
  requireArrangement(array, period, name);
  const photoPitchPx = pitchOf(period);
  requireCoarse(photoPitchPx, name);
  let factor = factorFor(photoPitchPx, 1);
  let found = latticeAt(photo, factor, 1, period, hexagonal);
  let unit = 1;
  // A narrow spot needs a finer picture than the pitch asks for; then its width is measured again.
  for (let round = 0; round < 2; round++) {
    unit = spotUnitOf(found.picture, found.spots, found.pitchPx);
    const finer = factorFor(photoPitchPx, unit);
    if (finer >= factor) break;
    factor = finer;
    found = latticeAt(photo, factor, unit, period, hexagonal);
  }
  const { complete, grown, ...rest } = found;
  const tubes = placeLayout(array).count;
  if (!complete || complete.nodes.length < Math.max(4, LEAST_FOUND_SHARE * tubes)) {
    throw new InputError(
      name,
      `a lattice of only ${complete?.nodes.length ?? grown.length} cells was found, ${array.rows} × ${array.columns} stated`,
      IN_FOCUS,
    );
  }
  return { ...rest, ...complete, spotUnit: unit };
}

/**
 * Finds every cell of the array in the even shot: the lattice of its spots, and the array's place in it from the outline
 * and the stated rows, columns and map.
 *
 * @param photo - the even shot, linear light
 * @param array - stated rows, columns, arrangement, map
 * @param name - the photo's name, for messages
 * @throws InputError where no lattice shows, where it isn't the stated one, or where it fits in two places
 */
export function findLattice(photo: ShotPhoto, array: ArraySpec, name: string): FoundLattice {
  const found = spotLattice(photo, array, name);
  const { nodes, spots, warp, picture } = found;
  const hexagonal = array.arrangement === 'hexagonal';
  const edge = CUT_PITCHES * found.pitchPx;
  const points = nodes.map(({ i, j, spot }): SpotPoint => {
    const [x, y] = [spots.x[spot]!, spots.y[spot]!];
    const cut = Math.min(x, y, picture.width - 1 - x, picture.height - 1 - y) < edge;
    return { i, j, strength: spots.strength[spot]!, cut };
  });
  const toPhoto = (i: number, j: number): [number, number] => {
    const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
    return [picture.factor * x + (picture.factor - 1) / 2, picture.factor * y + (picture.factor - 1) / 2];
  };
  const place = placeArray(array, points, toPhoto, name);
  return { lattice: cellsOf(array, place, found, points), picture };
}

function cellsOf(
  array: ArraySpec,
  place: Placement,
  { nodes, spots, warp, pitchPx, spotUnit }: SpotLattice,
  points: readonly SpotPoint[],
): Lattice {
  const hexagonal = array.arrangement === 'hexagonal';
  const spotOf = new Map(nodes.map(({ i, j, spot }) => [keyOf(i, j), spot]));
  const all = placeLayout(array);
  const at = (k: number) => {
    const [row, column] = [all.row[k], all.column[k]];
    const [i, j] = indicesOf(array, place, row, column);
    const [u, v] = coordinatesOf(hexagonal, i, j);
    const spot = spotOf.get(keyOf(i, j));
    const [x, y] = spot === undefined ? warp.at(u, v) : [spots.x[spot]!, spots.y[spot]!];
    const lit = spot !== undefined && spots.strength[spot]! >= HEALTHY;
    return { row, column, u, v, x, y, found: spot === undefined ? 0 : 1, lit };
  };
  const places = Array.from({ length: all.count }, (_, k) => ({ ...at(k), filled: all.filled[k] }));
  // A covered hole has no light to solve for, unless the photo shows some.
  const cells = places.filter(({ filled, lit }) => filled === 1 || array.unfilled === 'open' || lit);
  const column = (of: (cell: (typeof cells)[number]) => number) => Float64Array.from(cells, of);
  return {
    x: column(({ x }) => x),
    y: column(({ y }) => y),
    u: column(({ u }) => u),
    v: column(({ v }) => v),
    found: Uint8Array.from(cells, ({ found }) => found),
    filled: Uint8Array.from(cells, ({ filled }) => filled),
    warp,
    pitchPx,
    spotUnit,
    unfilled: places
      .filter(({ filled }) => filled === 0)
      .map(({ row, column, x, y }) => ({ row, column, x, y })),
    litUnstated: points
      .filter(({ strength, cut }) => strength >= HEALTHY && !cut)
      .map((point) => rowAndColumn(array, place, point))
      .filter(({ row, column }) => {
        const stated = mapAt(array, row, column);
        return stated === '.' || (stated === 'o' && array.unfilled !== 'open');
      }),
  };
}
