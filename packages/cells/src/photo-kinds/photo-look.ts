import { MAD_TO_SIGMA, neighbourFinder } from '@twolamp/numeric';
import type { ArraySpec, ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture } from '@twolamp/flux';

/** Light of a photo at the cells' places, before anything is fitted. In full scales; N cells, reading order. */
export interface SpotLight {
  /** Mean light in the middle of each cell. */
  readonly spot: Float64Array;
  /** Mean light between each cell and its neighbours. */
  readonly gap: Float64Array;
}

/** How a photo looks, as it is. */
export interface PhotoLook extends SpotLight {
  /** Standard deviation of a pixel's noise, and of a spot's mean by it. */
  readonly noise: number;
  readonly spotNoise: number;
  /** Darkest and brightest pixel. */
  readonly darkest: number;
  readonly brightest: number;
}

/** Radii over which light is averaged, in pitches: well inside a bore, and inside the corner between cells. */
const SPOT_RADIUS = 0.2;
const GAP_RADIUS = 0.12;
/** Middles between cells, in pitches to the right and down; each with its opposite, so that slopes cancel. */
const SQUARE_GAPS = [
  [0.5, 0.5],
  [0.5, -0.5],
] as const;
/** Middles of the triangles between three cells. */
const HEXAGONAL_GAPS = [
  [0.5, Math.sqrt(3) / 6],
  [0.5, -Math.sqrt(3) / 6],
] as const;

function discMean({ data, width, height }: ReducedPhoto, x: number, y: number, radius: number): number {
  const reach = Math.max(0.75, radius);
  const [left, right] = [Math.max(0, Math.ceil(x - reach)), Math.min(width - 1, Math.floor(x + reach))];
  const bottom = Math.min(height - 1, Math.floor(y + reach));
  let [sum, count] = [0, 0];
  for (let row = Math.max(0, Math.ceil(y - reach)); row <= bottom; row++) {
    const across = reach * reach - (row - y) ** 2;
    for (let column = left; column <= right; column++) {
      if ((column - x) ** 2 > across) continue;
      sum += data[row * width + column]!;
      count++;
    }
  }
  return count > 0 ? sum / count : Number.NaN;
}

/**
 * Noise of a pixel from the twist of 2 × 2 pixels, (a − b − c + d)/2, in which even light and slopes cancel and whose
 * variance is a pixel's.
 */
function pixelNoise({ data, width, height }: ReducedPhoto): number {
  const twists: number[] = [];
  // Some ten thousand places are enough for a median.
  const step = Math.max(2, 2 * Math.floor(Math.sqrt((width * height) / 40_000)));
  for (let row = 0; row + 1 < height; row += step) {
    for (let column = 0; column + 1 < width; column += step) {
      const at = row * width + column;
      twists.push(Math.abs(data[at]! - data[at + 1]! - data[at + width]! + data[at + width + 1]!) / 2);
    }
  }
  const sorted = Float64Array.from(twists).sort();
  return MAD_TO_SIGMA * (sorted[Math.floor(sorted.length / 2)] ?? 0);
}

/** Beyond this distance no tube touches, pitches. */
const TOUCHING_PITCHES = 1.25;

/** Middles between a cell and its neighbours; around a packed one they lie aside of its nearest neighbour. */
function gapFinder(cells: CellsOnPicture, arrangement: ArraySpec['arrangement']) {
  if (arrangement !== 'packed') return () => (arrangement === 'square' ? SQUARE_GAPS : HEXAGONAL_GAPS);
  const near = neighbourFinder(cells.x, cells.y);
  return (cell: number) => {
    const around = near(cell, TOUCHING_PITCHES * cells.pitchPx).sort((a, b) => a.distance - b.distance);
    const nearest = around[0]?.index;
    if (nearest === undefined) return HEXAGONAL_GAPS;
    const angle = Math.atan2(cells.y[nearest] - cells.y[cell], cells.x[nearest] - cells.x[cell]);
    const away = HEXAGONAL_GAPS[0];
    return [-Math.PI / 6, Math.PI / 6].map((aside): readonly [number, number] => {
      const radius = Math.hypot(...away);
      return [radius * Math.cos(angle + aside), radius * Math.sin(angle + aside)];
    });
  };
}

/**
 * Light of a photo at the cells' places.
 *
 * @param picture - reduced
 * @param cells - their places on it
 * @param tubes - which of them are looked at; the N values are of these
 * @param arrangement - tells where the gaps lie
 */
export function spotLight(
  picture: ReducedPhoto,
  cells: CellsOnPicture,
  tubes: readonly number[],
  arrangement: ArraySpec['arrangement'],
): SpotLight {
  const count = tubes.length;
  const gapsOf = gapFinder(cells, arrangement);
  const [spot, gap] = [new Float64Array(count), new Float64Array(count)];
  for (let k = 0; k < count; k++) {
    const cell = tubes[k];
    spot[k] = discMean(picture, cells.x[cell], cells.y[cell], SPOT_RADIUS * cells.pitchPx);
    gap[k] = gapLight(picture, cells, cell, gapsOf(cell));
  }
  return { spot, gap };
}

/**
 * How a photo looks at the cells' places.
 *
 * @param picture - reduced, as it is; the other parameters are those of {@link spotLight}
 */
export function lookAt(
  picture: ReducedPhoto,
  cells: CellsOnPicture,
  tubes: readonly number[],
  arrangement: ArraySpec['arrangement'],
): PhotoLook {
  const [darkest, brightest] = extremes(picture.data);
  const noise = pixelNoise(picture);
  const pixels = Math.max(1, Math.PI * (SPOT_RADIUS * cells.pitchPx) ** 2);
  const light = spotLight(picture, cells, tubes, arrangement);
  return { ...light, noise, spotNoise: noise / Math.sqrt(pixels), darkest, brightest };
}

/** Mean light in the gaps around a cell; NaN where none is seen. */
function gapLight(
  picture: ReducedPhoto,
  { x, y, toPitch, pitchPx }: CellsOnPicture,
  k: number,
  gaps: readonly (readonly [number, number])[],
): number {
  const [a, b, c, d] = [toPitch[4 * k], toPitch[4 * k + 1], toPitch[4 * k + 2], toPitch[4 * k + 3]];
  const determinant = a * d - b * c;
  let [between, seen] = [0, 0];
  for (let n = 0; n < gaps.length; n++) {
    const [p, q] = [gaps[n][0], gaps[n][1]];
    const [dx, dy] = [(d * p - b * q) / determinant, (a * q - c * p) / determinant];
    for (let side = -1; side <= 1; side += 2) {
      const light = discMean(picture, x[k] + side * dx, y[k] + side * dy, GAP_RADIUS * pitchPx);
      if (!Number.isFinite(light)) continue;
      between += light;
      seen++;
    }
  }
  return between / seen;
}

function extremes(data: Float32Array): [number, number] {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let at = 0; at < data.length; at++) {
    if (data[at] < least) least = data[at];
    if (data[at] > most) most = data[at];
  }
  return [least, most];
}

/** How far from a cell's middle its light may leave the tube, pitches; a lamp beside the view lights the rim alone. */
const RIM_RADIUS = 0.6;

/** Median of 3 × 3 pixels: a hot pixel alone is none. */
function medianAround({ data, width }: ReducedPhoto, column: number, row: number): number {
  const nine: number[] = [];
  for (const y of [row - 1, row, row + 1])
    nine.push(...data.subarray(y * width + column - 1, y * width + column + 2));
  return nine.sort((a, b) => a - b)[4]!;
}

/**
 * Brightest place in or at the rim of any cell, above the light between the cells around it; full scales.
 *
 * @param tubes - which cells are looked at
 * @param gap - light between each of them and its neighbours, as {@link lookAt} has it
 */
export function brightestSpeck(
  picture: ReducedPhoto,
  { x, y, pitchPx }: CellsOnPicture,
  tubes: readonly number[],
  gap: Float64Array,
): number {
  const { data, width, height } = picture;
  const reach = RIM_RADIUS * pitchPx;
  let brightest = 0;
  for (const [k, cell] of tubes.entries()) {
    const [left, right] = [Math.max(1, Math.ceil(x[cell]! - reach)), Math.min(width - 2, x[cell]! + reach)];
    const [top, bottom] = [Math.max(1, Math.ceil(y[cell]! - reach)), Math.min(height - 2, y[cell]! + reach)];
    for (let row = top; row <= bottom; row++) {
      for (let column = left; column <= right; column++) {
        if (data[row * width + column]! - gap[k]! <= brightest) continue;
        brightest = Math.max(brightest, medianAround(picture, column, row) - gap[k]!);
      }
    }
  }
  return brightest;
}
