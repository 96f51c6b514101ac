import type { Period } from './period.js';
import type { Spots } from './spots.js';
import { REACH_PITCHES, STRONG } from './tuning.js';

/** Tolerance. Longest step over dark cells, in pitches. */
const LONGEST_JUMP = 6;
/** Tolerance. Share of the miss by which a cell's local steps are corrected. */
const FOLLOW_SHARE = 0.25;

/** A spot with its place in the lattice: ideal position = origin + i·a + j·b. */
export interface Node {
  readonly i: number;
  readonly j: number;
  readonly spot: number;
}

/** One number a place of the lattice, for places less than a million steps off. */
export const keyOf = (i: number, j: number): number => (j + 2 ** 20) * 2 ** 21 + i + 2 ** 20;

/** Finds the spot nearest to a place: spots stand in square boxes as wide as the reach, so that nine are looked into. */
export class SpotIndex {
  private readonly columns: number;
  private readonly rows: number;
  /** First spot of each box, one list a box; −1 ends it. */
  private readonly first: Int32Array;
  private readonly next: Int32Array;

  /**
   * @param least - strength from which spots are found
   * @param reachPx - within which they are found
   */
  constructor(
    private readonly spots: Spots,
    least: number,
    private readonly reachPx: number,
  ) {
    const { x, y, strength } = spots;
    this.columns = 1 + this.boxOf(x.reduce((most, value) => Math.max(most, value), 0));
    this.rows = 1 + this.boxOf(y.reduce((most, value) => Math.max(most, value), 0));
    this.first = new Int32Array(this.columns * this.rows).fill(-1);
    this.next = new Int32Array(x.length);
    for (let k = 0; k < x.length; k++) {
      if (strength[k] < least) continue;
      const box = this.boxOf(y[k]) * this.columns + this.boxOf(x[k]);
      this.next[k] = this.first[box];
      this.first[box] = k;
    }
  }

  private boxOf(place: number): number {
    return Math.floor(Math.max(0, place) / this.reachPx);
  }

  /** Number of the nearest spot within reach; −1 where there is none. */
  nearest(x: number, y: number): number {
    const { spots, reachPx, columns, rows, first, next } = this;
    const column = Math.floor(x / reachPx);
    const row = Math.floor(y / reachPx);
    let best = -1;
    let bestDistance = reachPx * reachPx;
    for (let down = Math.max(0, row - 1); down <= Math.min(rows - 1, row + 1); down++) {
      for (let right = Math.max(0, column - 1); right <= Math.min(columns - 1, column + 1); right++) {
        for (let k = first[down * columns + right]; k >= 0; k = next[k]) {
          const dx = spots.x[k] - x;
          const dy = spots.y[k] - y;
          const distance = dx * dx + dy * dy;
          if (distance >= bestDistance) continue;
          bestDistance = distance;
          best = k;
        }
      }
    }
    return best;
  }
}

type Step = readonly [number, number];

function neighbourSteps(hexagonal: boolean): Step[] {
  const half: Step[] = hexagonal
    ? [
        [1, 0],
        [0, 1],
        [-1, 1],
      ]
    : [
        [1, 0],
        [0, 1],
      ];
  return [...half, ...half.map(([i, j]): Step => [-i, -j])];
}

interface Frame {
  readonly node: Node;
  readonly a: Step;
  readonly b: Step;
}

/** The spot whose neighbours fit the period best. */
function seedOf(
  spots: Spots,
  index: SpotIndex,
  period: Period,
  steps: readonly Step[],
  reachPx: number,
): number {
  let best = -1;
  let bestMisfit = Number.POSITIVE_INFINITY;
  for (let k = 0; k < spots.x.length; k++) {
    if (spots.strength[k]! < STRONG) continue;
    let misfit = 0;
    for (const [i, j] of steps) {
      const x = spots.x[k]! + i * period.a[0] + j * period.b[0];
      const y = spots.y[k]! + i * period.a[1] + j * period.b[1];
      const other = index.nearest(x, y);
      misfit += other < 0 ? reachPx ** 2 : (spots.x[other]! - x) ** 2 + (spots.y[other]! - y) ** 2;
    }
    if (misfit < bestMisfit) {
      bestMisfit = misfit;
      best = k;
    }
  }
  return best;
}

/**
 * Grows the lattice from the spot where the pattern is clearest, each neighbour predicted by the steps around it, so
 * that slow bends (tilt, distortion, bulges) are followed. Where it can't go on, it jumps over dark cells: a dark row
 * doesn't end it.
 *
 * @param spots - from {@link findSpots}
 * @param period - steps in the same pixels
 * @param hexagonal - six neighbours instead of four
 * @returns the nodes reached; empty where no seed was found
 */
export function growLattice(spots: Spots, period: Period, hexagonal: boolean): Node[] {
  const pitchPx = Math.min(Math.hypot(...period.a), Math.hypot(...period.b));
  const steps = neighbourSteps(hexagonal);
  const reachPx = REACH_PITCHES * pitchPx;
  const index = new SpotIndex(spots, STRONG, reachPx);
  const seed = seedOf(spots, index, period, steps, reachPx);
  if (seed < 0) return [];
  const frames: Frame[] = [{ node: { i: 0, j: 0, spot: seed }, a: period.a, b: period.b }];
  const taken = new Set<number>([seed]);
  const placed = new Set<number>([keyOf(0, 0)]);
  const tryStep = (frame: Frame, di: number, dj: number): boolean => {
    const { node, a, b } = frame;
    const [i, j] = [node.i + di, node.j + dj];
    if (placed.has(keyOf(i, j))) return false;
    const x = spots.x[node.spot]! + di * a[0] + dj * b[0];
    const y = spots.y[node.spot]! + di * a[1] + dj * b[1];
    const spot = index.nearest(x, y);
    if (spot < 0 || taken.has(spot)) return false;
    taken.add(spot);
    placed.add(keyOf(i, j));
    frames.push({ node: { i, j, spot }, ...followed(frame, [di, dj], spots, spot) });
    return true;
  };
  let next = 0;
  const spread = (): void => {
    for (; next < frames.length; next++) {
      for (const [di, dj] of steps) tryStep(frames[next]!, di, dj);
    }
  };
  spread();
  for (let times = 2; times <= LONGEST_JUMP; times++) {
    // New nodes join at the end of the list and are looked at as well.
    for (let n = 0; n < frames.length; n++) {
      for (const [di, dj] of steps) {
        if (tryStep(frames[n]!, times * di, times * dj)) spread();
      }
    }
  }
  return frames.map((frame) => frame.node);
}

/** The frame's steps, turned a little towards the step that was really found. */
function followed({ node, a, b }: Frame, [di, dj]: Step, spots: Spots, spot: number): Pick<Frame, 'a' | 'b'> {
  const missX = spots.x[spot]! - spots.x[node.spot]! - (di * a[0] + dj * b[0]);
  const missY = spots.y[spot]! - spots.y[node.spot]! - (di * a[1] + dj * b[1]);
  const weight = FOLLOW_SHARE / (di * di + dj * dj);
  return {
    a: [a[0] + weight * di * missX, a[1] + weight * di * missY],
    b: [b[0] + weight * dj * missX, b[1] + weight * dj * missY],
  };
}
