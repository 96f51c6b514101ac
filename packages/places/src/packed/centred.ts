import type { Plane } from '@twolamp/session';

/** Radius over which a spot's centre of gravity is taken, pitches: its own light, and little of its neighbours'. */
const RADIUS_PITCHES = 0.5;
const ROUNDS = 3;

/**
 * Places of spots as the centres of gravity of their light above the darkest pixel around, with a smooth window that moves
 * along. The maxima of a band-passed picture are drawn towards dark neighbours by some hundredths of a pitch; these aren't.
 *
 * @param plane - linear light
 * @param x - first places, px
 * @param y - likewise
 * @param pitchPx - distance of neighbouring tubes
 */
export function centred(
  plane: Plane,
  x: readonly number[],
  y: readonly number[],
  pitchPx: number,
): { x: number[]; y: number[] } {
  const places = x.map((px, k) => {
    let place: readonly [number, number] = [px, y[k]];
    for (let round = 0; round < ROUNDS; round++)
      place = centreOfLight(plane, place, RADIUS_PITCHES * pitchPx);
    return place;
  });
  return { x: places.map(([px]) => px), y: places.map(([, py]) => py) };
}

function centreOfLight(
  { width, height, data }: Plane,
  [x, y]: readonly [number, number],
  radius: number,
): readonly [number, number] {
  const [left, right] = [Math.max(0, Math.ceil(x - radius)), Math.min(width - 1, Math.floor(x + radius))];
  const [top, bottom] = [Math.max(0, Math.ceil(y - radius)), Math.min(height - 1, Math.floor(y + radius))];
  let darkest = Number.POSITIVE_INFINITY;
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      if (Math.hypot(column - x, row - y) < radius) darkest = Math.min(darkest, data[row * width + column]);
    }
  }
  let sum = 0;
  let dx = 0;
  let dy = 0;
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      const inside = 1 - ((column - x) ** 2 + (row - y) ** 2) / radius ** 2;
      if (inside <= 0) continue;
      const weight = inside * inside * (data[row * width + column] - darkest);
      sum += weight;
      dx += weight * (column - x);
      dy += weight * (row - y);
    }
  }
  // The window weighs the spot's far side less: a step is about half of what is wanted.
  return sum > 0 ? [x + (2 * dx) / sum, y + (2 * dy) / sum] : [x, y];
}
