import type { Footprint } from './footprint.js';

const CELLS_PER_TILE = 120;
const MAX_TILES = 3;

/** Footprints learned in tiles of the array, blended in between so that a lens that blurs its corners is followed. */
export interface FootprintTiles {
  readonly across: number;
  readonly down: number;
  readonly tiles: Footprint[];
}

/** How many tiles an array of so many cells is parted into, each way. */
export function tileGrid(rows: number, columns: number): { across: number; down: number } {
  const side = Math.sqrt((rows * columns) / CELLS_PER_TILE);
  const clamp = (value: number): number => Math.max(1, Math.min(MAX_TILES, Math.floor(value)));
  return { across: clamp(side * Math.sqrt(columns / rows)), down: clamp(side * Math.sqrt(rows / columns)) };
}

/** The cells of each tile. */
export function tileMembers(
  { across, down }: { across: number; down: number },
  rows: number,
  columns: number,
): number[][] {
  const members: number[][] = Array.from({ length: across * down }, () => []);
  for (let k = 0; k < rows * columns; k++) {
    const tx = Math.floor(((k % columns) / columns) * across);
    const ty = Math.floor((Math.floor(k / columns) / rows) * down);
    members[ty * across + tx]!.push(k);
  }
  return members;
}

/** Each cell's footprint, bilinear between the tiles' middles. */
export function blend(
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
