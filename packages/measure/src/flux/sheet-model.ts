import type { Lattice } from '../lattice/find-lattice.js';
import type { Plane, ReducedPhoto } from '../light/plane.js';
import { median } from '../statistics/robust.js';
import { type CellsOnPicture, cellsOnPicture } from './cells-on-picture.js';
import { type Footprint, HARMONICS, REACH, roundFootprint } from './footprint.js';
import { blend, tileGrid, tileMembers } from './footprint-tiles.js';
import { type CoarseLight, type Halo, haloLight, haloParts, lightAt, NO_HALO } from './halo.js';
import { type Lesson, learnFootprint } from './learn-footprint.js';
import { type Noise, noiseFromResidual, weightsOf } from './noise.js';
import { overlappingPairs } from './normal-equations.js';
import { forPixelsOf, layOut, makePatches, type Patches } from './patches.js';
import { middlesOfLight, moveCells, placeOthers, rewarped } from './place-cells.js';
import { refineView } from './refine-view.js';
import { type Region, regionOf, usablePixels } from './region.js';
import { type ShotSolution, solveShot } from './solve-shot.js';

/** How cells look on the sheet, learned from the even shot; every other shot is measured with it. */
export interface SheetModel {
  readonly cells: CellsOnPicture;
  readonly footprintOf: (cell: number) => Footprint;
  readonly halo: Halo;
  /** Pixels that count. */
  readonly region: Region;
  /** Width and height of the reduced pictures. */
  readonly width: number;
  readonly height: number;
}

/** The model with the even shot's own solution. */
export interface LearnedSheet {
  readonly model: SheetModel;
  /** Each cell's middle of light on the reduced picture. */
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  readonly solution: ShotSolution;
  readonly noise: Noise;
  readonly weights: Float32Array;
  /** 'settled': the last round changed the lights by less than their uncertainty. */
  readonly stopped: 'settled' | 'round-limit';
}

const ROUNDS = 12;
/** Median change of the lights, in standard uncertainties, at which the rounds end. */
const SETTLED = 0.1;
/** Rounds after that in which the spots tell how the camera sees them, and last ones for the footprint of each tile. */
const VIEW_ROUNDS = 2;
const TILE_ROUNDS = 2;
/** A round footprint is enough to part it from the halo; then its other harmonics, tile by tile. */
const ROUND = { pixels: 16_000, harmonics: 1 };
const WHOLE = { pixels: 8_000, harmonics: HARMONICS };
const TILE = { pixels: 4_000, harmonics: HARMONICS };
/** Cells below this share of the typical light keep their place from the smooth map, ones above that aren't learned from. */
const MOVING_SHARE = 0.05;
const TEACHING_SHARE = 2;
/** Cells below this share don't tell how the camera sees the spots. */
const VIEWING_SHARE = 0.3;
/** A tile with fewer bright cells than this takes the common footprint. */
const LEAST_TEACHERS = 15;

function neighbourLists(patches: Patches): number[][] {
  const pairs = overlappingPairs(patches);
  const lists: number[][] = Array.from({ length: patches.left.length }, () => []);
  pairs.first.forEach((k, n) => {
    lists[k]!.push(pairs.second[n]!);
    lists[pairs.second[n]!]!.push(k);
  });
  return lists;
}

/** Counted pixels that no footprint reaches. */
function barePixels(cells: CellsOnPicture, { pixels, width, height }: Region): number[] {
  const layout = layOut(cells, width, height);
  const reached = new Uint8Array(width * height);
  for (let k = 0; k < cells.x.length; k++) {
    forPixelsOf(k, cells, layout, (at, p, q) => {
      if (p * p + q * q >= REACH * REACH) return;
      const within = at - layout.start[k]!;
      const row = layout.top[k]! + Math.floor(within / layout.width[k]!);
      reached[row * width + layout.left[k]! + (within % layout.width[k]!)] = 1;
    });
  }
  return Array.from(pixels).filter((at) => !reached[at]);
}

/** Median change of the lights in their standard uncertainties, neighbours not counted. */
function changeOf(before: Float64Array, { flux, matrix }: ShotSolution): number {
  return median(flux.map((value, k) => Math.abs(value - before[k]!) * Math.sqrt(matrix.diagonal[k]!)));
}

/** A picture without a background that is known. */
function without(picture: Plane, floor: Float32Array, halo: CoarseLight | null): Plane {
  const { width } = picture;
  const data = picture.data.map(
    (value, at) => value - floor[at]! - (halo ? lightAt(halo, at % width, Math.floor(at / width)) : 0),
  );
  return { ...picture, data };
}

/**
 * Learns cells' places, their footprint and the halo from the even shot, all in turn until they agree: first with a
 * round footprint, then with what the camera does to it, at last its departures from roundness, in a large array for
 * each part of it.
 *
 * @param picture - even shot, reduced, dark frame off
 * @param lattice - first places of the cells
 * @param array - rows, columns, whether hexagonal, and the bore in pitches for a start
 */
export function learnSheet(
  picture: ReducedPhoto,
  lattice: Lattice,
  array: { rows: number; columns: number; hexagonal: boolean; borePitches: number },
): LearnedSheet {
  const { width, height } = picture;
  let cells = cellsOnPicture(lattice, array.hexagonal);
  const region = regionOf(cells, width, height);
  const bare = barePixels(cells, region);
  const usable = usablePixels(region, picture.clipped);
  const grid = tileGrid(array.rows, array.columns);
  const tiles = tileMembers(grid, array.rows, array.columns);
  let common = roundFootprint(array.borePitches / 2, 0.08);
  let footprintOf = (_: number): Footprint => common;
  let halo = NO_HALO;
  let weights: Float32Array = Float32Array.from(usable, (use) => (use ? 1 : 0));
  let before: Float64Array | null = null;
  let finishing = 0;
  let stopped: LearnedSheet['stopped'] | null = null;

  for (let round = 1; ; round++) {
    const patches = makePatches(cells, footprintOf, width, height);
    const known = before && haloLight(cells, before, halo);
    const solution = solveShot(picture, region, patches, weights, [], known);
    const { flux } = solution;
    const noise = noiseFromResidual(region, solution.residual, solution.model, usable);
    if (!stopped && before && changeOf(before, solution) < SETTLED) stopped = 'settled';
    if (!stopped && round >= ROUNDS) stopped = 'round-limit';
    if (stopped && finishing++ === VIEW_ROUNDS + TILE_ROUNDS) {
      const model = { cells, footprintOf, halo, region, width, height };
      const middles = middlesOfLight(cells, footprintOf);
      return { model, middles, solution, noise, weights, stopped };
    }
    before = flux;
    weights = weightsOf(noise, solution.model, usable);
    const typical = median(flux.filter((value) => value > 0));
    const bright = (k: number): boolean => flux[k]! > MOVING_SHARE * typical;
    const usual = (k: number): boolean =>
      flux[k]! > VIEWING_SHARE * typical && flux[k]! < TEACHING_SHARE * typical;
    const fitting = moveCells(cells, footprintOf, patches, solution, weights, width, bright);
    cells = stopped
      ? placeOthers(
          refineView(fitting, footprintOf, patches, solution, weights, width, usual, lattice),
          lattice,
          bright,
        )
      : rewarped(fitting, lattice, array.hexagonal, bright);

    const lesson: Omit<Lesson, 'picture'> = { weights, cells, flux, neighboursOf: neighbourLists(patches) };
    const teachersOf = (group: readonly number[]): number[] =>
      group.filter((k) => flux[k]! < TEACHING_SHARE * typical);
    if (finishing <= VIEW_ROUNDS) {
      const clear = without(picture, solution.floor, null);
      const background = { parts: haloParts(cells, flux), bare };
      const all = teachersOf(Array.from(flux.keys()));
      const { footprint, haloShares } = learnFootprint({ ...lesson, picture: clear }, all, background, ROUND);
      halo = { shares: haloShares };
      common = footprint;
    } else {
      const clear = without(picture, solution.floor, haloLight(cells, flux, halo));
      const effort = tiles.length > 1 ? TILE : WHOLE;
      const footprints = tiles.map((group) => {
        if (group.filter(usual).length < LEAST_TEACHERS) return common;
        return learnFootprint({ ...lesson, picture: clear }, teachersOf(group), null, effort).footprint;
      });
      footprintOf = blend({ ...grid, tiles: footprints }, array.rows, array.columns);
    }
  }
}
