import type { CellsOnPicture } from './cells-on-picture.js';
import { stretchWithin } from './own-discs.js';
import { ownRoom, type Room } from './room.js';
import { type ProfileRow, ProfileTable, REACH, type SpotProfile } from './spot-profile.js';

/** Each cell's profile laid on the picture's pixels: a rectangle of values a cell, one after the other. */
export interface Stamps {
  /** Top-left pixel and size of each rectangle. */
  readonly left: Int32Array;
  readonly top: Int32Array;
  readonly width: Int32Array;
  readonly height: Int32Array;
  /** Where each rectangle starts in `values`; one more entry than cells. */
  readonly start: Int32Array;
  /** Light per pixel for a flux of 1. */
  readonly values: Float32Array;
}

/** Rectangles of pixels that the profiles reach, cut off at the picture's rim. */
function layOut(cells: CellsOnPicture, width: number, height: number): Omit<Stamps, 'values'> {
  const count = cells.x.length;
  const column = () => new Int32Array(count);
  const layout = { left: column(), top: column(), width: column(), height: column() };
  const start = new Int32Array(count + 1);
  const { left, top } = layout;
  for (let k = 0; k < count; k++) {
    start[k + 1] = start[k] + layOutCell(cells, k, width, height, layout);
  }
  return { left, top, width: layout.width, height: layout.height, start };
}

/** Lays out one cell's rectangle; returns how many pixels it has. */
function layOutCell(
  { x, y, toPitch }: CellsOnPicture,
  k: number,
  width: number,
  height: number,
  into: Omit<Stamps, 'values' | 'start'>,
): number {
  const a = toPitch[4 * k];
  const b = toPitch[4 * k + 1];
  const c = toPitch[4 * k + 2];
  const d = toPitch[4 * k + 3];
  const determinant = Math.abs(a * d - b * c);
  // Half the bounding box of the square |p|, |q| ≤ REACH seen in pixels.
  const reachX = (REACH * (Math.abs(d) + Math.abs(b))) / determinant;
  const reachY = (REACH * (Math.abs(a) + Math.abs(c))) / determinant;
  into.left[k] = Math.max(0, Math.ceil(x[k] - reachX));
  into.top[k] = Math.max(0, Math.ceil(y[k] - reachY));
  into.width[k] = Math.max(0, Math.min(width - 1, Math.floor(x[k] + reachX)) - into.left[k] + 1);
  into.height[k] = Math.max(0, Math.min(height - 1, Math.floor(y[k] + reachY)) - into.top[k] + 1);
  return into.width[k] * into.height[k];
}

/**
 * Spot profiles evaluated on the pixels.
 *
 * @param cells - places and stretch of the cells
 * @param profileOf - each cell's profile
 * @param width - picture width in pixels
 * @param height - picture height in pixels
 * @param room - gives the values' array
 */
export function makeStamps(
  cells: CellsOnPicture,
  profileOf: (cell: number) => SpotProfile,
  width: number,
  height: number,
  room: Room = ownRoom,
): Stamps {
  const layout = layOut(cells, width, height);
  const values = room.take(layout.start[cells.x.length]);
  const table = new ProfileTable();
  let taken: SpotProfile | null = null;
  for (let k = 0; k < cells.x.length; k++) {
    const profile = profileOf(k);
    if (profile !== taken) table.take(profile);
    taken = profile;
    fillStamp(cells, k, table, layout, values);
  }
  const { left, top, width: across, height: down, start } = layout;
  return { left, top, width: across, height: down, start, values };
}

function fillStamp(
  cells: CellsOnPicture,
  k: number,
  table: ProfileTable,
  layout: Omit<Stamps, 'values'>,
  values: Float32Array,
): void {
  const t = cells.toPitch;
  const a = t[4 * k];
  const b = t[4 * k + 1];
  const c = t[4 * k + 2];
  const d = t[4 * k + 3];
  const [right, down, area] = [cells.shade[2 * k], cells.shade[2 * k + 1], cells.area[k]];
  const across = layout.width[k];
  const dx = layout.left[k] - cells.x[k];
  const line: ProfileRow = { p: 0, q: 0, dp: a, dq: c, gain: 0, gainStep: right / area };
  for (let row = 0; row < layout.height[k]; row++) {
    const dy = layout.top[k] + row - cells.y[k];
    line.p = a * dx + b * dy;
    line.q = c * dx + d * dy;
    line.gain = (1 + right * dx + down * dy) / area;
    table.fillRow(values, layout.start[k] + row * across, across, line);
  }
}

/** 1 for the pixels that any cell's profile reaches, over the whole picture. */
export function reachedPixels(cells: CellsOnPicture, width: number, height: number): Uint8Array {
  const reached = new Uint8Array(width * height);
  const layout = layOut(cells, width, height);
  for (let k = 0; k < cells.x.length; k++) markReached(cells, k, layout, width, reached);
  return reached;
}

function markReached(
  { x, y, toPitch }: CellsOnPicture,
  k: number,
  layout: Omit<Stamps, 'values'>,
  width: number,
  reached: Uint8Array,
): void {
  const ends = new Float64Array(2);
  for (let row = 0; row < layout.height[k]; row++) {
    if (!stretchWithin(toPitch, k, layout.top[k] + row - y[k], REACH, ends)) continue;
    const pixel = (layout.top[k] + row) * width;
    const first = Math.max(layout.left[k], Math.ceil(x[k] + ends[0]));
    const last = Math.min(layout.left[k] + layout.width[k] - 1, Math.floor(x[k] + ends[1]));
    if (first <= last) reached.fill(1, pixel + first, pixel + last + 1);
  }
}

/** Pixels of the largest rectangle. */
export function largestStamp({ start }: Pick<Stamps, 'start'>): number {
  let largest = 0;
  for (let k = 0; k + 1 < start.length; k++) largest = Math.max(largest, start[k + 1] - start[k]);
  return largest;
}

/** Derivatives of one cell's stamp with respect to the cell's place, per pixel of shift; its rectangle's pixels row by row. */
export interface Slopes {
  readonly byX: Float32Array;
  readonly byY: Float32Array;
}

/**
 * A function that gives the slopes of a cell's stamp, by central differences of the fourth order from pixel to pixel: a
 * spot's rim is never sharper than a pixel, and who follows the slopes takes several steps. What it gave is overwritten
 * when it is called again: a cell's slopes are used once, and thousands of cells' would fill the memory.
 *
 * Source: Abramowitz & Stegun, table 25.2, five points.
 */
export function makeSlopes({ width, height, start, values }: Stamps): (cell: number) => Slopes {
  const largest = largestStamp({ start });
  const byX = new Float32Array(largest);
  const byY = new Float32Array(largest);
  return (k) => {
    fillSlope(values, start[k], width[k], height[k], 1, byX);
    fillSlope(values, start[k], width[k], height[k], width[k], byY);
    return { byX, byY };
  };
}

/** Pixels at a rectangle's rim without slopes: hardly any light is left there. */
export const SLOPE_RIM = 2;

/** A cell that moves towards higher indices has at each pixel what lay a step before it. */
function fillSlope(
  values: Float32Array,
  from: number,
  across: number,
  down: number,
  step: number,
  into: Float32Array,
): void {
  for (let row = 0; row < down; row++) {
    const start = row * across;
    if (row < SLOPE_RIM || row >= down - SLOPE_RIM) {
      into.fill(0, start, start + across);
      continue;
    }
    for (let column = 0; column < across; column++) {
      const at = from + start + column;
      into[start + column] =
        column < SLOPE_RIM || column >= across - SLOPE_RIM
          ? 0
          : (8 * (values[at - step] - values[at + step]) - (values[at - 2 * step] - values[at + 2 * step])) /
            12;
    }
  }
}
