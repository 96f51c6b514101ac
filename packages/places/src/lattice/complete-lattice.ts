import { keyOf, type Node, SpotIndex } from './grow.js';
import { coordinatesOf } from './place.js';
import type { Spots } from './spots.js';
import { REACH_PITCHES } from './tuning.js';
import { fitWarp, type Tie, type Warp } from './warp.js';

/** Limit of computing time: rows and columns searched beyond the lattice grown so far, in each round. */
const MARGIN_CELLS = 3;

/** The nodes that lie where the smooth map has them, and the map through them. */
export interface CompleteLattice {
  readonly nodes: readonly Node[];
  readonly warp: Warp;
}

const MOST_ROUNDS = 6;

/**
 * Gives every spot that lies where the smooth map expects one its place, across holes and beyond them; round after round,
 * since the map reaches farther each time.
 *
 * @param pitchPx - distance of neighbouring cells
 * @returns null where the nodes determine no map
 */
export function completeLattice(
  grown: readonly Node[],
  spots: Spots,
  pitchPx: number,
  hexagonal: boolean,
): CompleteLattice | null {
  let nodes = [...grown];
  const index = new SpotIndex(spots, 0, REACH_PITCHES * pitchPx);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const warp = fitWarp(tiesOf(nodes, spots, hexagonal));
    if (!warp) return null;
    const before = new Map(nodes.map(({ i, j, spot }) => [keyOf(i, j), spot]));
    nodes = nodes.filter(({ i, j, spot }) => {
      const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
      return Math.hypot(x - spots.x[spot]!, y - spots.y[spot]!) < REACH_PITCHES * pitchPx;
    });
    addNodes(nodes, index, warp, hexagonal);
    const same = nodes.every(({ i, j, spot }) => before.get(keyOf(i, j)) === spot);
    // The map through the same spots is the same.
    if (same && nodes.length === before.size) return { nodes, warp };
  }
  const warp = fitWarp(tiesOf(nodes, spots, hexagonal));
  return warp && { nodes, warp };
}

function tiesOf(nodes: readonly Node[], spots: Spots, hexagonal: boolean): Tie[] {
  return nodes.map(({ i, j, spot }) => {
    const [u, v] = coordinatesOf(hexagonal, i, j);
    return { u, v, x: spots.x[spot]!, y: spots.y[spot]! };
  });
}

/** Adds a node for each free place of the lattice, and a few beyond it, where a free spot lies. */
function addNodes(nodes: Node[], index: SpotIndex, warp: Warp, hexagonal: boolean): void {
  const placed = new Set(nodes.map(({ i, j }) => keyOf(i, j)));
  const taken = new Set(nodes.map((node) => node.spot));
  // Row by row: a hexagonal lattice's rows lie aslant in i.
  const rows = new Map<number, { left: number; right: number }>();
  for (const { i, j } of nodes) {
    for (let row = j - MARGIN_CELLS; row <= j + MARGIN_CELLS; row++) {
      const reach = rows.get(row) ?? { left: i, right: i };
      rows.set(row, { left: Math.min(reach.left, i), right: Math.max(reach.right, i) });
    }
  }
  for (const [j, { left, right }] of rows) {
    for (let i = left - MARGIN_CELLS; i <= right + MARGIN_CELLS; i++) {
      if (placed.has(keyOf(i, j))) continue;
      const [x, y] = warp.at(...coordinatesOf(hexagonal, i, j));
      const spot = index.nearest(x, y);
      if (spot < 0 || taken.has(spot)) continue;
      taken.add(spot);
      placed.add(keyOf(i, j));
      nodes.push({ i, j, spot });
    }
  }
}
