import { MAD_TO_SIGMA, median } from '@twolamp/numeric';
import type { CellsOnPicture } from '@twolamp/flux';
import type { ReducedPhoto } from '@twolamp/session';
import { TUNING } from './tuning.js';

/** What an even shot shows in the middle of each tube's spot. Plain data; N tubes. */
export interface SpotTwists {
  /** Twist of four pixels around the middle, (a − b − c + d)/2, full scales; NaN where one is clipped or outside. */
  readonly twist: Float64Array;
  /** Mean of the four. */
  readonly light: Float64Array;
}

/** Noise that two even shots show, as a share of their light, and the least that light itself brings. */
export interface NoiseForLight {
  readonly seenShare: number;
  /** Photon noise, did the camera hold as many electrons as the largest sensors do. */
  readonly leastShare: number;
}

/** Distance of the four pixels from the middle of a spot: well inside a bore, whose radius is 0.3 to 0.5 pitches. */
const ARM_PITCHES = 0.12;
/** N readings give a standard deviation from their median absolute value to 1.17/√N (asymptotic efficiency 0.37): 30 to 21 %. */
const LEAST_SPOTS = 30;

/**
 * The twist of each spot: slopes and a round hill of light cancel in it, and it has a pixel's noise.
 *
 * @param picture - an even shot, reduced, as it is
 * @param tubes - numbers of the cells that are tubes
 */
export function spotTwists(
  { data, width, height, clipped }: ReducedPhoto,
  { x, y, pitchPx }: CellsOnPicture,
  tubes: readonly number[],
): SpotTwists {
  const arm = Math.max(1, Math.round(ARM_PITCHES * pitchPx));
  const twist = new Float64Array(tubes.length).fill(Number.NaN);
  const light = new Float64Array(tubes.length).fill(Number.NaN);
  for (const [k, cell] of tubes.entries()) {
    const [column, row] = [Math.round(x[cell]!), Math.round(y[cell]!)];
    if (column < arm || row < arm || column + arm >= width || row + arm >= height) continue;
    const [above, below] = [(row - arm) * width + column, (row + arm) * width + column];
    const at = [above - arm, above + arm, below - arm, below + arm] as const;
    if (clipped && at.some((pixel) => clipped[pixel]! > 0)) continue;
    const [a, b, c, d] = at.map((pixel) => data[pixel]!) as [number, number, number, number];
    twist[k] = (a - b - c + d) / 2;
    light[k] = (a + b + c + d) / 4;
  }
  return { twist, light };
}

/**
 * Noise of two even shots from one place, against the photon noise of their light. What the sheet itself shows is alike
 * in both and cancels in the difference of their twists; what doesn't cancel only adds to it.
 *
 * Light of n electrons has a standard deviation of √n (Poisson); a pixel of the reduced picture is the mean of k² pixels.
 *
 * @param factor - k, by which the photos were reduced
 * @param isos - of the two shots
 * @returns null where too few spots are bright and not clipped
 */
export function noiseForLight(
  one: SpotTwists,
  other: SpotTwists,
  factor: number,
  isos: readonly [number, number],
): NoiseForLight | null {
  const usable = [...one.light.keys()].filter(
    (k) => one.light[k]! > TUNING.noiseLight && other.light[k]! > TUNING.noiseLight,
  );
  if (usable.length < LEAST_SPOTS) return null;
  const scale = median(usable.map((k) => other.light[k]! / one.light[k]!));
  const shares = usable.map((k) =>
    Math.abs((other.twist[k]! - scale * one.twist[k]!) / Math.sqrt(other.light[k]!)),
  );
  const [first, second] = isos.map((iso) => iso / 100 / TUNING.mostElectrons) as [number, number];
  const perShot = 1 / Math.sqrt(2 * median(usable.map((k) => other.light[k]!)));
  return {
    seenShare: perShot * MAD_TO_SIGMA * median(shares),
    leastShare: (perShot * Math.sqrt(second + scale * first)) / factor,
  };
}
