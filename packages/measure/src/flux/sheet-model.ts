import type { Lattice } from '../lattice/find-lattice.js';
import type { ReducedPhoto } from '../light/plane.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { type Footprint, HARMONICS } from './footprint.js';
import { blend, tileGrid, tileMembers } from './footprint-tiles.js';
import { type Halo, haloLight } from './halo.js';
import { learnFootprint } from './learn-footprint.js';
import { frameOf, learnCommon, lessonOf, solveRound } from './learning-round.js';
import type { Noise } from './noise.js';
import type { Patches } from './patches.js';
import { middlesOfLight, moveCells, placeOthers } from './place-cells.js';
import { refineView } from './refine-view.js';
import type { Region } from './region.js';
import { roughSheet } from './rough-sheet.js';
import type { ShotSolution } from './solve-shot.js';

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
  readonly patches: Patches;
  readonly solution: ShotSolution;
  readonly noise: Noise;
  readonly weights: Float32Array;
  /** 'settled': the last rough round changed the lights by less than their uncertainty. */
  readonly stopped: 'settled' | 'round-limit';
}

/** Rounds in which the spots tell how the camera sees them, and last ones for the footprint of each tile. */
const VIEW_ROUNDS = 4;
const TILE_ROUNDS = 1;
/** Pixels for a round footprint, which is enough to part it from the halo; then for all its harmonics, tile by tile. */
const ROUND_PIXELS = 16_000;
const WHOLE = { pixels: 8_000, harmonics: HARMONICS };
const TILE = { pixels: 4_000, harmonics: HARMONICS };
/** A tile with fewer usual cells than this takes the common footprint. */
const LEAST_TEACHERS = 15;

/**
 * Learns cells' places, their footprint and the halo from the even shot, all in turn: first roughly, with a round
 * footprint, then with what the camera does to it, at last its departures from roundness, in a large array for each part
 * of it.
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
  const rough = roughSheet(picture, lattice, array.hexagonal, array.borePitches);
  const { stopped } = rough;
  const frame = frameOf(picture, rough.cells);
  const grid = tileGrid(array.rows, array.columns);
  const tiles = tileMembers(grid, array.rows, array.columns);
  let { cells, footprintOf, halo, flux } = rough;
  let common = footprintOf(0);
  let weights: Float32Array = Float32Array.from(frame.usable);
  for (let count = 1; ; count++) {
    const round = solveRound(frame, { cells, footprintOf, halo, flux, weights });
    const { patches, solution, noise, bright, usual } = round;
    if (count > VIEW_ROUNDS + TILE_ROUNDS) {
      const model = { cells, footprintOf, halo, region: frame.region, width, height };
      const middles = middlesOfLight(cells, footprintOf);
      return { model, middles, patches, solution, noise, weights, stopped };
    }
    ({ flux } = solution);
    ({ weights } = round);
    const fitting = moveCells(cells, patches, solution, weights, width, bright);
    const viewed = refineView(fitting, patches, solution, weights, width, usual, lattice);
    cells = placeOthers(viewed, lattice, bright);
    if (count <= VIEW_ROUNDS) {
      ({ footprint: common, halo } = learnCommon(frame, round, cells, ROUND_PIXELS));
      footprintOf = () => common;
    } else {
      const lesson = { ...lessonOf(frame, round, cells), halo: haloLight(cells, flux, halo) };
      const effort = tiles.length > 1 ? TILE : WHOLE;
      const footprints = tiles.map((group) => {
        if (group.filter(usual).length < LEAST_TEACHERS) return common;
        return learnFootprint(lesson, round.teachersOf(group), null, effort).footprint;
      });
      footprintOf = blend({ ...grid, tiles: footprints }, array.rows, array.columns);
    }
  }
}
