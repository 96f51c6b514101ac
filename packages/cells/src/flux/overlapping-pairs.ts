import type { CellsOnPicture } from './cells-on-picture.js';
import { REACH } from './footprint.js';

/** Pairs of cells, the first before the second in reading order. */
export interface Pairs {
  readonly first: Int32Array;
  readonly second: Int32Array;
}

/** Footprints that nearly touch count as overlapping, since places and stretch of cells are refined later, in pitches. */
const SLACK = 0.3;

/** Pairs of cells whose footprints overlap, or would if they lay a little nearer. */
export function overlappingPairs({ x, y, toPitch, pitchPx }: CellsOnPicture): Pairs {
  const reach = 2 * REACH + SLACK;
  // Cells stretched to twice the usual pitch still find each other within the next rows of buckets.
  const side = 2 * reach * pitchPx;
  const bucketOf = (at: number): number => Math.floor(at / side);
  const buckets = new Map<number, Map<number, number[]>>();
  for (let k = 0; k < x.length; k++) {
    const row = buckets.get(bucketOf(y[k]!)) ?? new Map<number, number[]>();
    buckets.set(bucketOf(y[k]!), row);
    const bucket = row.get(bucketOf(x[k]!));
    if (bucket) bucket.push(k);
    else row.set(bucketOf(x[k]!), [k]);
  }
  const [first, second]: [number[], number[]] = [[], []];
  for (let k = 0; k < x.length; k++) {
    for (let down = -1; down <= 1; down++) {
      const row = buckets.get(bucketOf(y[k]!) + down);
      for (let right = -1; right <= 1; right++) {
        for (const other of row?.get(bucketOf(x[k]!) + right) ?? []) {
          if (other <= k) continue;
          const dx = x[other]! - x[k]!;
          const dy = y[other]! - y[k]!;
          const p = toPitch[4 * k]! * dx + toPitch[4 * k + 1]! * dy;
          const q = toPitch[4 * k + 2]! * dx + toPitch[4 * k + 3]! * dy;
          if (p * p + q * q >= reach * reach) continue;
          first.push(k);
          second.push(other);
        }
      }
    }
  }
  return { first: Int32Array.from(first), second: Int32Array.from(second) };
}
