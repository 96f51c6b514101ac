import type { SpotProfile } from './spot-profile.js';
import { CELLS_PER_TILE } from './tuning.js';

/** Limit of computing time: most tiles each way. */
const MOST_TILES = 3;

/** Places of N cells in lattice co-ordinates: across in pitches, down in rows. */
export interface LatticePlaces {
  readonly u: Float64Array;
  readonly v: Float64Array;
}

/** Tiles of an array, and where each cell lies in them: from 0 to the number of tiles. */
export interface TileGrid {
  readonly across: number;
  readonly down: number;
  readonly tileX: Float64Array;
  readonly tileY: Float64Array;
}

/** Spot profiles learned in tiles of the array, blended in between so that a lens that blurs its corners is followed. */
export interface ProfileTiles extends TileGrid {
  readonly tiles: SpotProfile[];
}

/** Parts an array into tiles with cells enough to learn from. */
export function tileGrid({ u, v }: LatticePlaces): TileGrid {
  const span = (values: Float64Array) => {
    const [least, most] = values.reduce(
      ([low, high], value) => [Math.min(low, value), Math.max(high, value)],
      [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
    ) as [number, number];
    return { least, size: most - least + 1 };
  };
  const [columns, rows] = [span(u), span(v)];
  const side = Math.sqrt(u.length / CELLS_PER_TILE);
  const clamp = (value: number): number => Math.max(1, Math.min(MOST_TILES, Math.floor(value)));
  const across = clamp(side * Math.sqrt(columns.size / rows.size));
  const down = clamp(side * Math.sqrt(rows.size / columns.size));
  return {
    across,
    down,
    tileX: u.map((value) => ((value - columns.least + 0.5) / columns.size) * across),
    tileY: v.map((value) => ((value - rows.least + 0.5) / rows.size) * down),
  };
}

/** The cells of each tile. */
export function tileMembers({ across, down, tileX, tileY }: TileGrid): number[][] {
  const members: number[][] = Array.from({ length: across * down }, () => []);
  for (let k = 0; k < tileX.length; k++) {
    members[Math.floor(tileY[k]) * across + Math.floor(tileX[k])].push(k);
  }
  return members;
}

/** Each cell's spot profile, bilinear between the tiles' middles. */
export function blend({ across, down, tileX, tileY, tiles }: ProfileTiles): (cell: number) => SpotProfile {
  if (tiles.length === 1) return () => tiles[0];
  const place = (tile: number, parts: number): [number, number] => {
    const at = Math.min(Math.max(tile - 0.5, 0), parts - 1);
    const lower = Math.min(Math.floor(at), Math.max(parts - 2, 0));
    return [lower, at - lower];
  };
  const size = tiles[0].coefficients.length;
  const all = new Float64Array(tileX.length * size);
  const profiles = Array.from(tileX, (_, k): SpotProfile => {
    const [tx, fx] = place(tileX[k], across);
    const [ty, fy] = place(tileY[k], down);
    const [right, below] = [Math.min(tx + 1, across - 1), Math.min(ty + 1, down - 1)];
    const { coefficients: a } = tiles[ty * across + tx];
    const { coefficients: b } = tiles[ty * across + right];
    const { coefficients: c } = tiles[below * across + tx];
    const { coefficients: d } = tiles[below * across + right];
    const coefficients = all.subarray(k * size, (k + 1) * size);
    for (let n = 0; n < size; n++) {
      coefficients[n] = (1 - fy) * ((1 - fx) * a[n] + fx * b[n]) + fy * ((1 - fx) * c[n] + fx * d[n]);
    }
    return { coefficients };
  });
  return (cell) => profiles[cell];
}
