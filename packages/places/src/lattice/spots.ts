import { bandPass } from '../light/filters.js';
import { reducePlane } from '../light/plane.js';
import type { Plane } from '@twolamp/session';
import { SPOTS_PITCH_PX } from './tuning.js';

/** Tolerances. Least share of spots' peak height kept, and what counts as typical in a dim tile. */
const LEAST_STRENGTH = 0.06;
const TILE_PITCHES = 8;
const LEAST_OF_AROUND = 0.4;
const LEAST_OF_ALL = 0.15;

/** Local maxima of the band-passed picture; structure of arrays, one entry a spot. */
export interface Spots {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Height against what is typical around, 1 = typical. */
  readonly strength: Float64Array;
}

interface Peak {
  x: number;
  y: number;
  height: number;
}

/** Vertex of the parabola through three neighbours, from the middle one. */
function vertex(before: number, top: number, after: number): number {
  return (before - after) / (2 * (before - 2 * top + after) || -Infinity);
}

function localMaxima({ width, height, data }: Plane): Peak[] {
  const peaks: Peak[] = [];
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const top = data[i]!;
      if (top <= 0) continue;
      const west = data[i - 1]!;
      const east = data[i + 1]!;
      const north = data[i - width]!;
      const south = data[i + width]!;
      if (west > top || east >= top || north > top || south >= top) continue;
      if (data[i - width - 1]! > top || data[i - width + 1]! > top) continue;
      if (data[i + width - 1]! > top || data[i + width + 1]! > top) continue;
      peaks.push({ x: x + vertex(west, top, east), y: y + vertex(north, top, south), height: top });
    }
  }
  return peaks;
}

/** Keeps the highest of any peaks closer together than `apart`. */
function thin(peaks: readonly Peak[], apart: number): Peak[] {
  const kept = new Map<number, Peak[]>();
  const near = ({ x, y }: Peak): boolean => {
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        const others = kept.get(tileOf(x, y, apart, dx, dy));
        if (others?.some((other) => Math.hypot(other.x - x, other.y - y) < apart)) return true;
      }
    }
    return false;
  };
  const result: Peak[] = [];
  for (const peak of [...peaks].sort((p, q) => q.height - p.height)) {
    if (near(peak)) continue;
    const key = tileOf(peak.x, peak.y, apart);
    const others = kept.get(key);
    if (others) others.push(peak);
    else kept.set(key, [peak]);
    result.push(peak);
  }
  return result;
}

/** One number a tile of the picture, or the one so many tiles to the right and down. */
const tileOf = (x: number, y: number, side: number, right = 0, down = 0): number =>
  (Math.floor(y / side) + down) * 2 ** 24 + Math.floor(x / side) + right;

function quantile(values: number[], share: number): number {
  const sorted = values.sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}

/**
 * What height is typical in each tile, so that light from one side doesn't hide the far cells; where a whole tile is
 * dark, no less than a share of what is typical around it and everywhere, so that noise doesn't pass for cells.
 */
function typicalHeights(peaks: readonly Peak[], tile: number): (peak: Peak) => number {
  const groups = new Map<number, number[]>();
  for (const { x, y, height } of peaks) {
    const key = tileOf(x, y, tile);
    const group = groups.get(key);
    if (group) group.push(height);
    else groups.set(key, [height]);
  }
  const typical = new Map([...groups].map(([key, heights]) => [key, quantile(heights, 0.75)]));
  const heights = peaks.map((peak) => peak.height);
  const least = LEAST_OF_ALL * quantile(heights, 0.9);
  return ({ x, y }) => {
    let around = 0;
    for (const dy of [-1, 0, 1]) {
      for (const dx of [-1, 0, 1]) around = Math.max(around, typical.get(tileOf(x, y, tile, dx, dy)) ?? 0);
    }
    return Math.max(typical.get(tileOf(x, y, tile))!, LEAST_OF_AROUND * around, least);
  };
}

/**
 * Bright spots of the size that cells have, sub-pixel. They are looked for on a picture shrunk as far as neighbours stay
 * clear of each other.
 *
 * @param plane - linear light
 * @param pitchPx - distance of neighbouring cells in pixels of `plane`
 * @param unit - of the spots' width, in pitches: 1, and less where they are narrow
 */
export function findSpots(plane: Plane, pitchPx: number, unit = 1): Spots {
  const by = Math.max(1, Math.floor((unit * pitchPx) / SPOTS_PITCH_PX));
  const pitch = pitchPx / by;
  const shrunk = by > 1 ? reducePlane(plane, by) : plane;
  const filtered = bandPass(shrunk, Math.max(0.18 * pitch, 0.8), 0.5 * pitch);
  const peaks = thin(localMaxima(filtered), 0.45 * pitch);
  const typical = typicalHeights(peaks, TILE_PITCHES * pitch);
  const [x, y, strength] = [[] as number[], [] as number[], [] as number[]];
  for (const peak of peaks) {
    const height = peak.height / typical(peak);
    if (height < LEAST_STRENGTH) continue;
    x.push((peak.x + 0.5) * by - 0.5);
    y.push((peak.y + 0.5) * by - 0.5);
    strength.push(height);
  }
  return { x: Float64Array.from(x), y: Float64Array.from(y), strength: Float64Array.from(strength) };
}
