import type { CellsOnPicture } from './cells-on-picture.js';
import { REACH } from './spot-profile.js';

/** Pairs of cells, each pair once: the first before the second in reading order. */
export interface Pairs {
  /** The pairs of first cell k are start[k] to start[k + 1] − 1. */
  readonly start: Int32Array;
  /** Second cell of each pair; growing within a first cell. */
  readonly second: Int32Array;
}

/** Slack, in pitches: places and stretch of cells are refined after the pairs were listed. */
const SLACK = 0.3;

/** Pairs of cells whose profiles overlap, or would if they lay a little nearer. */
export function overlappingPairs({ x, y, toPitch, pitchPx }: CellsOnPicture): Pairs {
  const reach = 2 * REACH + SLACK;
  // Cells stretched to twice the typical pitch still find each other within the next rows of buckets.
  const side = 2 * reach * pitchPx;
  const bucketOf = (at: number): number => Math.floor(at / side);
  const buckets = new Map<number, Map<number, number[]>>();
  for (let k = 0; k < x.length; k++) {
    const row = buckets.get(bucketOf(y[k])) ?? new Map<number, number[]>();
    buckets.set(bucketOf(y[k]), row);
    const bucket = row.get(bucketOf(x[k]));
    if (bucket) bucket.push(k);
    else row.set(bucketOf(x[k]), [k]);
  }
  const start = new Int32Array(x.length + 1);
  const second: number[] = [];
  for (let k = 0; k < x.length; k++) {
    const own: number[] = [];
    for (let down = -1; down <= 1; down++) {
      const row = buckets.get(bucketOf(y[k]) + down);
      for (let right = -1; right <= 1; right++) {
        for (const other of row?.get(bucketOf(x[k]) + right) ?? []) {
          if (other <= k) continue;
          const dx = x[other] - x[k];
          const dy = y[other] - y[k];
          const p = toPitch[4 * k] * dx + toPitch[4 * k + 1] * dy;
          const q = toPitch[4 * k + 2] * dx + toPitch[4 * k + 3] * dy;
          if (p * p + q * q < reach * reach) own.push(other);
        }
      }
    }
    second.push(...own.sort((a, b) => a - b));
    start[k + 1] = second.length;
  }
  return { start, second: Int32Array.from(second) };
}

/** Each cell's overlapping cells, earlier and later ones. */
export function neighboursOf({ start, second }: Pairs): number[][] {
  const neighbours: number[][] = Array.from({ length: start.length - 1 }, () => []);
  for (let k = 0; k + 1 < start.length; k++) {
    for (let n = start[k]; n < start[k + 1]; n++) {
      neighbours[k].push(second[n]);
      neighbours[second[n]].push(k);
    }
  }
  return neighbours;
}

/** Index of the pair of two cells, the first before the second; −1 where they don't overlap. */
export function pairOf({ start, second }: Pairs, first: number, other: number): number {
  for (let n = start[first]; n < start[first + 1]; n++) if (second[n] === other) return n;
  return -1;
}
