import type { Lattice } from '../lattice/find-lattice.js';
import type { Plane, ReducedPhoto } from '../light/plane.js';
import { type CellsOnPicture, cellsOnPicture } from './cells-on-picture.js';
import { centroid, type Footprint, roundFootprint } from './footprint.js';
import { type Halo, haloParts, NO_HALO } from './halo.js';
import { learnFootprint } from './learn-footprint.js';
import { type Noise, noiseFromResidual, weightsOf } from './noise.js';
import { overlappingPairs } from './normal-equations.js';
import { makePatches, makeSlopes, type Patches } from './patches.js';
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
}

const ROUNDS = 5;
/** Cells below this share of the typical light keep their place from the smooth map. */
const MOVING_SHARE = 0.05;
const CELLS_PER_REGION = 120;
const MAX_REGIONS = 3;

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** Footprints learned in tiles of the array, blended in between so that a lens that blurs its corners is followed. */
interface FootprintTiles {
  readonly across: number;
  readonly down: number;
  readonly tiles: Footprint[];
}

function tileGrid(rows: number, columns: number): { across: number; down: number } {
  const side = Math.sqrt((rows * columns) / CELLS_PER_REGION);
  const clamp = (value: number): number => Math.max(1, Math.min(MAX_REGIONS, Math.floor(value)));
  return { across: clamp(side * Math.sqrt(columns / rows)), down: clamp(side * Math.sqrt(rows / columns)) };
}

/** Each cell's footprint, bilinear between the tiles' middles. */
function blend(
  { across, down, tiles }: FootprintTiles,
  rows: number,
  columns: number,
): (cell: number) => Footprint {
  if (tiles.length === 1) return () => tiles[0]!;
  const place = (index: number, count: number, parts: number): [number, number] => {
    const at = Math.min(Math.max(((index + 0.5) / count) * parts - 0.5, 0), parts - 1);
    const lower = Math.min(Math.floor(at), Math.max(parts - 2, 0));
    return [lower, at - lower];
  };
  const footprints = Array.from({ length: rows * columns }, (_, k): Footprint => {
    const [tx, fx] = place(k % columns, columns, across);
    const [ty, fy] = place(Math.floor(k / columns), rows, down);
    const [right, below] = [Math.min(tx + 1, across - 1), Math.min(ty + 1, down - 1)];
    const corners = [
      [tiles[ty * across + tx]!, (1 - fx) * (1 - fy)],
      [tiles[ty * across + right]!, fx * (1 - fy)],
      [tiles[below * across + tx]!, (1 - fx) * fy],
      [tiles[below * across + right]!, fx * fy],
    ] as const;
    const coefficients = new Float64Array(tiles[0]!.coefficients.length);
    for (const [tile, share] of corners) {
      for (let n = 0; n < coefficients.length; n++) coefficients[n]! += share * tile.coefficients[n]!;
    }
    return { coefficients };
  });
  return (cell) => footprints[cell]!;
}

function neighbourLists(patches: Patches): number[][] {
  const pairs = overlappingPairs(patches);
  const lists: number[][] = Array.from({ length: patches.left.length }, () => []);
  pairs.first.forEach((k, n) => {
    lists[k]!.push(pairs.second[n]!);
    lists[pairs.second[n]!]!.push(k);
  });
  return lists;
}

/** Moves each bright cell to where its footprint fits best: one Gauss–Newton step, with the others held. */
function moveCells(
  cells: CellsOnPicture,
  footprintOf: (cell: number) => Footprint,
  patches: Patches,
  { flux, residual }: ShotSolution,
  weights: Float32Array,
  width: number,
  movable: (cell: number) => boolean,
): void {
  const moving = Array.from(flux.keys()).filter(movable);
  const slopes = makeSlopes(cells, footprintOf, patches, moving);
  const furthest = 0.1 * cells.pitchPx;
  for (const k of moving) {
    let [xx, xy, yy, x, y] = [0, 0, 0, 0, 0];
    let at = patches.start[k]!;
    for (let row = 0; row < patches.height[k]!; row++) {
      let pixel = (patches.top[k]! + row) * width + patches.left[k]!;
      for (const end = at + patches.width[k]!; at < end; at++, pixel++) {
        const weight = weights[pixel]!;
        const byX = flux[k]! * slopes.byX[at]!;
        const byY = flux[k]! * slopes.byY[at]!;
        xx += weight * byX * byX;
        xy += weight * byX * byY;
        yy += weight * byY * byY;
        x += weight * byX * residual[pixel]!;
        y += weight * byY * residual[pixel]!;
      }
    }
    const determinant = xx * yy - xy * xy;
    if (determinant <= 1e-9 * xx * yy) continue;
    const clamp = (step: number): number => Math.min(Math.max(step, -furthest), furthest);
    cells.x[k]! += clamp((yy * x - xy * y) / determinant);
    cells.y[k]! += clamp((xx * y - xy * x) / determinant);
  }
}

/** Cells' middles of light: their places plus the footprint's own centre of gravity. */
function middlesOfLight(
  cells: CellsOnPicture,
  footprintOf: (cell: number) => Footprint,
): { x: Float64Array; y: Float64Array } {
  const [x, y] = [cells.x.slice(), cells.y.slice()];
  for (let k = 0; k < x.length; k++) {
    const [p, q] = centroid(footprintOf(k), 0.6);
    const [a, b, c, d] = [0, 1, 2, 3].map((n) => cells.toPitch[4 * k + n]!) as [
      number,
      number,
      number,
      number,
    ];
    const determinant = a * d - b * c;
    x[k]! += (d * p - b * q) / determinant;
    y[k]! += (a * q - c * p) / determinant;
  }
  return { x, y };
}

/**
 * Learns cells' places, their footprint and the halo from the even shot, all in turn until they agree.
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
  const first = cellsOnPicture(lattice, array.hexagonal);
  const cells: CellsOnPicture = { ...first, x: first.x.slice(), y: first.y.slice() };
  const region = regionOf(cells, width, height);
  const usable = usablePixels(region, picture.clipped);
  const grid = tileGrid(array.rows, array.columns);
  let tiles: FootprintTiles = { across: 1, down: 1, tiles: [roundFootprint(array.borePitches / 2, 0.08)] };
  let footprintOf = blend(tiles, array.rows, array.columns);
  let halo = NO_HALO;
  let flux: Float64Array = new Float64Array(cells.x.length);
  let weights: Float32Array = Float32Array.from(usable, (use) => (use ? 1 : 0));
  let noise: Noise = { floor: 1, gain: 0 };

  for (let round = 0; ; round++) {
    const patches = makePatches(cells, footprintOf, width, height);
    if (round === 0) flux = solveShot(picture, region, patches, weights, [], null).flux;
    const parts = haloParts(cells, flux);
    const solution = solveShot(picture, region, patches, weights, parts, null);
    flux = solution.flux;
    halo = { shares: solution.haloShares };
    noise = noiseFromResidual(region, solution.residual, solution.model, usable);
    if (round === ROUNDS) {
      return {
        model: { cells, footprintOf, halo, region, width, height },
        middles: middlesOfLight(cells, footprintOf),
        solution,
        noise,
        weights,
      };
    }
    weights = weightsOf(noise, solution.model, usable);
    const typical = median([...flux].filter((value) => value > 0));
    moveCells(
      cells,
      footprintOf,
      patches,
      solution,
      weights,
      width,
      (k) => flux[k]! > MOVING_SHARE * typical,
    );

    const light: Plane = {
      width,
      height,
      data: picture.data.map((value, at) => value - solution.floor[at]!),
    };
    const neighbours = neighbourLists(patches);
    const members: number[][] = Array.from({ length: grid.across * grid.down }, () => []);
    for (let k = 0; k < flux.length; k++) {
      const tx = Math.floor(((k % array.columns) / array.columns) * grid.across);
      const ty = Math.floor((Math.floor(k / array.columns) / array.rows) * grid.down);
      members[ty * grid.across + tx]!.push(k);
    }
    const learned = members.map((group) => {
      const teachers = group.filter((k) => flux[k]! < 2 * typical);
      return learnFootprint(light, weights, cells, flux, teachers, neighbours, parts);
    });
    tiles = { ...grid, tiles: learned };
    footprintOf = blend(tiles, array.rows, array.columns);
  }
}
