import { parabolaVertex } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import { blur, reducePlane } from '@twolamp/places';
import type { CellsOnPicture } from './cells-on-picture.js';
import { SEARCH_REACH_PITCHES, SEARCH_STEPS } from './tuning.js';

/** Tolerance. The search works at half size where cells are at least this far apart. */
const LEAST_HALVED_PITCH_PX = 10;
/** Limit of computing time: the brightest cells dominate the sums. */
const MOST_SEARCHED_CELLS = 150;

/** Shift of the picture against the even shot, in pixels. */
export type Shift = readonly [number, number];

/**
 * First guess of a shift within half a pitch: where the light, sampled at the middles of the brightest cells, is most
 * uneven between bright and dark (largest sum of squares).
 *
 * @param picture - linear light, dark frame off
 * @param cells - places in the even shot
 */
export function coarseShift(picture: Plane, { x, y, pitchPx }: CellsOnPicture): Shift {
  const factor = pitchPx >= LEAST_HALVED_PITCH_PX ? 2 : 1;
  const small = factor === 1 ? picture : reducePlane(picture, factor);
  const pitch = pitchPx / factor;
  const soft = blur(small, Math.max(0.8 / factor, 0.15 * pitch));
  const step = (SEARCH_REACH_PITCHES * pitchPx) / SEARCH_STEPS;
  const near = new Float64Array(x.length);
  for (let k = 0; k < near.length; k++) near[k] = mostNear(soft, factor, x[k], y[k], 4 * step);
  const chosen = Array.from(x.keys());
  if (chosen.length > MOST_SEARCHED_CELLS)
    chosen.sort((a, b) => near[b] - near[a]).length = MOST_SEARCHED_CELLS;
  const side = 2 * SEARCH_STEPS + 1;
  const sums = new Float64Array(side * side);
  let best = (sums.length - 1) / 2;
  for (let n = 0; n < sums.length; n++) {
    const dx = ((n % side) - SEARCH_STEPS) * step;
    const dy = (Math.floor(n / side) - SEARCH_STEPS) * step;
    for (let m = 0; m < chosen.length; m++) {
      sums[n] += lightAt(soft, factor, x[chosen[m]] + dx, y[chosen[m]] + dy) ** 2;
    }
    if (sums[n] > sums[best]) best = n;
  }
  // Vertex of a parabola through the best step and its neighbours; none at the rim of the search.
  const vertex = (stride: number, place: number): number => {
    if (place === 0 || place === side - 1) return 0;
    return parabolaVertex(sums[best - stride], sums[best], sums[best + stride])?.offset ?? 0;
  };
  const column = best % side;
  const row = Math.floor(best / side);
  return [
    (column - SEARCH_STEPS + vertex(1, column)) * step,
    (row - SEARCH_STEPS + vertex(side, row)) * step,
  ];
}

/** Light at a place of the picture, in a picture shrunk by a factor; 0 beside it. */
function lightAt({ width, height, data }: Plane, factor: number, x: number, y: number): number {
  const column = Math.round((x + 0.5) / factor - 0.5);
  const row = Math.round((y + 0.5) / factor - 0.5);
  if (column < 0 || row < 0 || column >= width || row >= height) return 0;
  return Math.max(0, data[row * width + column]);
}

/** Brightest of a place and the eight at a distance around it. */
function mostNear(soft: Plane, factor: number, x: number, y: number, away: number): number {
  let most = 0;
  for (let right = -1; right <= 1; right++) {
    for (let down = -1; down <= 1; down++) {
      most = Math.max(most, lightAt(soft, factor, x + right * away, y + down * away));
    }
  }
  return most;
}
