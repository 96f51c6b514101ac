import { type ArraySpec, InputError, type LinearPhoto } from '@twolamp/session';
import { type ReducedPhoto, reducePhoto } from '../light/plane.js';
import { growLattice, keyOf, type Node, REACH_PITCHES, SpotIndex } from './grow.js';
import { findPeriod, type Period } from './period.js';
import { coordinatesOf, indicesOf, type Placement } from './place.js';
import { placeArray } from './place-array.js';
import { findSpots, type Spots } from './spots.js';
import { fitWarp, type Tie, type Warp } from './warp.js';

/**
 * Every cell's place in the even shot, in pixels of the reduced picture; N = rows × columns, reading order.
 */
export interface Lattice {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** 1 where a spot was found, 0 where the place is the smooth map's. */
  readonly found: Uint8Array;
  /** Smooth map from lattice co-ordinates: u to the right, v down in rows. */
  readonly warp: Warp;
  /** Lattice co-ordinates of each cell. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Mean distance of neighbouring cells, in pixels of the reduced picture. */
  readonly pitchPx: number;
}

/** The lattice, and the reduced picture it was found in. */
export interface FoundLattice {
  readonly lattice: Lattice;
  readonly picture: ReducedPhoto;
}

/** Pixels a pitch that the reduced picture should have: enough for sub-pixel centres, few enough to be quick. */
const WORKING_PITCH_PX = 14;
const MARGIN = 3;

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

function tiesOf(nodes: readonly Node[], spots: Spots, hexagonal: boolean): Tie[] {
  return nodes.map(({ i, j, spot }) => {
    const [u, v] = coordinatesOf(hexagonal, i, j);
    return { u, v, x: spots.x[spot]!, y: spots.y[spot]! };
  });
}

/** Gives every spot that lies where the smooth map expects one its place, across holes and beyond them. */
function completeLattice(
  grown: readonly Node[],
  spots: Spots,
  pitchPx: number,
  hexagonal: boolean,
): { nodes: Node[]; warp: Warp } | null {
  let nodes = [...grown];
  const index = new SpotIndex(spots, pitchPx, 0);
  const missOf = (warp: Warp, { i, j, spot }: Node): number => {
    const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
    return Math.hypot(x - spots.x[spot]!, y - spots.y[spot]!);
  };
  for (let round = 0; round < 3; round++) {
    const warp = fitWarp(tiesOf(nodes, spots, hexagonal));
    if (!warp) return null;
    nodes = nodes.filter((node) => missOf(warp, node) < REACH_PITCHES * pitchPx);
    const placed = new Set(nodes.map(({ i, j }) => keyOf(i, j)));
    const taken = new Set(nodes.map((node) => node.spot));
    const is = nodes.map((node) => node.i);
    const js = nodes.map((node) => node.j);
    const [left, right] = [Math.min(...is) - MARGIN, Math.max(...is) + MARGIN];
    const [top, bottom] = [Math.min(...js) - MARGIN, Math.max(...js) + MARGIN];
    for (let j = top; j <= bottom; j++) {
      for (let i = left; i <= right; i++) {
        if (placed.has(keyOf(i, j))) continue;
        const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
        const spot = index.nearest(x, y, REACH_PITCHES * pitchPx);
        if (spot < 0 || taken.has(spot)) continue;
        taken.add(spot);
        nodes.push({ i, j, spot });
      }
    }
  }
  const warp = fitWarp(tiesOf(nodes, spots, hexagonal));
  return warp && { nodes, warp };
}

/**
 * Finds every cell of the array in the even shot.
 *
 * Nothing of the picture is asked: the pitch comes from its autocorrelation, the lattice is grown over the spots, the
 * places of dark cells from a smooth map, the origin from the outline and the stated rows × columns.
 *
 * @param photo - the even shot, linear light
 * @param array - stated rows, columns, arrangement
 * @param name - the photo's name, for messages
 * @throws InputError where no lattice shows, where it isn't the stated one, or where it fits in two places
 */
export function findLattice(photo: LinearPhoto, array: ArraySpec, name: string): FoundLattice {
  const hexagonal = array.arrangement === 'hexagonal';
  const period = findPeriod({ width: photo.width, height: photo.height, data: photo.light }, array);
  if (!period) {
    throw new InputError(name, 'no regular pattern of cells shows', 'the whole array, evenly lit, in focus');
  }
  requireArrangement(array, period, name);
  const factor = Math.max(1, Math.round(pitchOf(period) / WORKING_PITCH_PX));
  const picture = reducePhoto(photo, factor);
  const scaled = ([x, y]: readonly [number, number]): [number, number] => [x / factor, y / factor];
  const working: Period = { ...period, a: scaled(period.a), b: scaled(period.b) };
  const pitchPx = pitchOf(working);
  const spots = findSpots(picture, pitchPx);
  const grown = growLattice(spots, working, hexagonal);
  const complete = completeLattice(grown, spots, pitchPx, hexagonal);
  if (!complete || complete.nodes.length < Math.max(4, 0.2 * array.rows * array.columns)) {
    throw new InputError(
      name,
      `a lattice of only ${complete?.nodes.length ?? grown.length} cells was found, ${array.rows} × ${array.columns} stated`,
      'the whole array, evenly lit, in focus',
    );
  }
  const { nodes, warp } = complete;
  const lit = nodes.map(({ i, j, spot }) => ({ i, j, strength: spots.strength[spot]! }));
  const toPhoto = (i: number, j: number): [number, number] => {
    const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
    return [factor * x + (factor - 1) / 2, factor * y + (factor - 1) / 2];
  };
  const place = placeArray(array, lit, toPhoto, name);
  return { lattice: cellsOf(array, place, nodes, spots, warp, pitchPx), picture };
}

function cellsOf(
  array: ArraySpec,
  place: Placement,
  nodes: readonly Node[],
  spots: Spots,
  warp: Warp,
  pitchPx: number,
): Lattice {
  const count = array.rows * array.columns;
  const spotOf = new Map(nodes.map(({ i, j, spot }) => [keyOf(i, j), spot]));
  const [x, y, u, v] = [0, 1, 2, 3].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const found = new Uint8Array(count);
  for (let row = 1; row <= array.rows; row++) {
    for (let column = 1; column <= array.columns; column++) {
      const k = (row - 1) * array.columns + column - 1;
      const [i, j] = indicesOf(array, place, row, column);
      [u[k], v[k]] = coordinatesOf(array.arrangement === 'hexagonal', i, j);
      const spot = spotOf.get(keyOf(i, j));
      found[k] = spot === undefined ? 0 : 1;
      [x[k], y[k]] = spot === undefined ? warp.at(u[k]!, v[k]!) : [spots.x[spot]!, spots.y[spot]!];
    }
  }
  return { x, y, found, warp, u, v, pitchPx };
}
