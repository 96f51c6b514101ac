import { madScale, MEDIAN_OVER_MEAN, median } from '@twolamp/numeric';
import type { CellLight } from './cell-light.js';
import { REPEATS } from './tuning.js';

const LEAST_CELLS = 30;
const SEEN_SIGMAS = 5;
/** A bright cell is brighter than this share of them. */
const BRIGHT_SHARE = 0.9;

/** Repeats of one shot against each other. */
interface Repeats {
  /** Mean of each cell. */
  readonly mean: Float64Array;
  /** Light of each repeat as the mean would have it: what makes it brighter or darker as a whole is taken out. */
  readonly levelled: readonly Float64Array[];
  /** By how much they scatter more than their stated uncertainties say. */
  readonly factor: number;
}

function held(lights: readonly CellLight[]): Repeats {
  const mean = lights[0].flux.map((_, k) =>
    lights.reduce((sum, { flux }) => sum + flux[k] / lights.length, 0),
  );
  const levelled = lights.map((light) => {
    const level = levelOf(light, mean);
    return light.flux.map((value) => value / level);
  });
  const departures = lights.flatMap(({ sigma }, n) =>
    Array.from(levelled[n], (value, k) => (value - mean[k]) / sigma[k]).filter(Number.isFinite),
  );
  // About their own mean, n repeats scatter by √(1 − 1/n) of their uncertainty.
  const factor =
    departures.length < LEAST_CELLS ? 1 : madScale(departures, 0) / Math.sqrt(1 - 1 / lights.length);
  return { mean, levelled, factor: Math.max(1, factor) };
}

/** Brightness of a repeat as a whole against the mean, by the cells that show light; 1 where too few do. */
function levelOf(light: CellLight, mean: Float64Array): number {
  const ratios = Array.from(light.flux, (value, k) => value / mean[k]).filter(
    (_, k) => mean[k] > SEEN_SIGMAS * light.sigma[k],
  );
  return ratios.length < LEAST_CELLS ? 1 : median(ratios);
}

/** Difference of the farthest two repeats in each cell; 0 where they agree. */
function apart(lights: readonly CellLight[], { mean, levelled, factor }: Repeats): Float64Array {
  const bright = [...mean].sort((a, b) => a - b)[Math.floor(BRIGHT_SHARE * mean.length)];
  return mean.map((_, k) => {
    const values = levelled.map((flux) => flux[k]);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    // The surest repeat's: a damaged spot is fitted badly, which makes its own light uncertain.
    const sigma = factor * Math.SQRT2 * Math.min(...lights.map((light) => light.sigma[k]));
    const isApart = high - low > Math.max(REPEATS.apartSigmas * sigma, REPEATS.apartShare * bright);
    return isApart ? high - low : 0;
  });
}

/** Cells in which repeats disagree: a damaged photo, or light that changed in places. */
export interface Disagreement {
  /** Reading order. */
  readonly cells: readonly number[];
  /** Index of the repeat that stands apart in most of them; of two, nobody can tell which one it is. */
  readonly odd: number | null;
}

/**
 * Where repeats of one shot disagree beyond their scatter; null where they don't.
 *
 * @param lights - N cells each, in the same unit
 */
export function disagreement(lights: readonly CellLight[]): Disagreement | null {
  if (lights.length < 2) return null;
  const repeats = held(lights);
  const far = apart(lights, repeats);
  const cells = Array.from(far.keys()).filter((k) => far[k] > 0);
  if (cells.length === 0) return null;
  if (lights.length === 2) return { cells, odd: null };
  const times = lights.map(() => 0);
  for (const k of cells) {
    const middle = median(repeats.levelled.map((flux) => flux[k]));
    const off = repeats.levelled.map((flux) => Math.abs(flux[k] - middle));
    times[off.indexOf(Math.max(...off))]++;
  }
  return { cells, odd: times.indexOf(Math.max(...times)) };
}

/**
 * Mean of repeats, cell by cell. Their scatter says whether the stated uncertainties are true: where it is larger, they
 * grow with it. A repeat that is brighter or darker as a whole is no scatter of the cells.
 *
 * Where repeats disagree in a cell, three or more give their median, and two are uncertain by half their difference.
 *
 * @param lights - one or more, N cells each, in the same unit
 */
export function averageLights(lights: readonly CellLight[]): CellLight {
  if (lights.length === 1) return lights[0];
  const repeats = held(lights);
  const far = apart(lights, repeats);
  const stated = far.map(
    (_, k) => (repeats.factor * Math.hypot(...lights.map(({ sigma }) => sigma[k]))) / lights.length,
  );
  return {
    flux: repeats.mean.map((mean, k) =>
      far[k] > 0 ? median(repeats.levelled.map((flux) => flux[k])) : mean,
    ),
    sigma: stated.map((sigma, k) => {
      if (far[k] === 0) return sigma;
      return lights.length === 2 ? Math.max(sigma, far[k] / 2) : MEDIAN_OVER_MEAN * sigma;
    }),
    clipped: lights[0].clipped.map((_, k) => Number(lights.some(({ clipped }) => clipped[k] === 1))),
  };
}
