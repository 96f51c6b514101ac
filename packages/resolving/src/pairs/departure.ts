import { interpolateEven } from '@twolamp/numeric';
import type { ArrayResponse } from '../response/array-response.js';
import type { LampView } from '../response/lamp-view.js';
import { halfWidthOf } from '../response/radial-spline.js';
import type { ShotFit } from '../response/response-model.js';
import { pairCells } from './pair-light.js';
import { KERNEL_HALF_WIDTHS, OUTLIER_CELL_SIGMAS, TYPICAL_DEPARTURE } from './tuning.js';

/** Departure of the light along the lamps' line from the fitted model. */
export interface Departure {
  /** Measured ÷ model, smoothed; place along the line as a slope, 0 = middle between the images. */
  readonly ratio: (along: number) => number;
  /** Standard uncertainty of the ratio between the lamps. */
  readonly sigma: number;
}

const STEPS_PER_KERNEL = 8;
const FARTHEST_KERNELS = 12;

/**
 * The ratio of measured to modelled light near the lamps' line, smoothed over cells by a Gaussian and shrunk towards 1
 * according to the cells' uncertainty. With it bent tubes and leaks show in the dip, and noise does not.
 */
export function departureAlong(view: LampView, response: ArrayResponse, fit: ShotFit): Departure {
  const [one, other] = view.lamps;
  const kernel = KERNEL_HALF_WIDTHS * halfWidthOf(response.mean);
  const cells = pairCells(view, response, fit, false).flatMap(({ cell: k, light, sigma }) => {
    const apart = [
      other.slopes[2 * k] - one.slopes[2 * k],
      other.slopes[2 * k + 1] - one.slopes[2 * k + 1],
    ] as const;
    const length = Math.hypot(...apart);
    // Along its own axis a tube lies at slope 0, so its place relative to the lamps is minus their slopes.
    const x = -((one.slopes[2 * k] + other.slopes[2 * k]) / 2 - fit.shift[0]);
    const y = -((one.slopes[2 * k + 1] + other.slopes[2 * k + 1]) / 2 - fit.shift[1]);
    const along = (x * apart[0] + y * apart[1]) / length;
    const aside = (y * apart[0] - x * apart[1]) / length;
    const nearness = Math.exp(-0.5 * (aside / kernel) ** 2);
    const modelled = fit.amplitude * light;
    const miss = view.light[k] - fit.background - modelled;
    if (nearness < 1e-3 || Math.abs(miss) > OUTLIER_CELL_SIGMAS * sigma) return [];
    return [{ along, nearness, information: (modelled / sigma) ** 2, pull: (modelled * miss) / sigma ** 2 }];
  });
  const sums = (along: number): { pull: number; information: number } => {
    let pull = 0;
    let information = 1 / TYPICAL_DEPARTURE ** 2;
    for (const cell of cells) {
      const weight = cell.nearness * Math.exp(-0.5 * ((along - cell.along) / kernel) ** 2);
      pull += weight * cell.pull;
      information += weight * cell.information;
    }
    return { pull, information };
  };
  // Tabulated on a grid finer than the smoothing, since the dip evaluates it many times.
  const step = kernel / STEPS_PER_KERNEL;
  const half = FARTHEST_KERNELS * STEPS_PER_KERNEL;
  const table = Float64Array.from({ length: 2 * half + 1 }, (_, n) => {
    const { pull, information } = sums((n - half) * step);
    return 1 + pull / information;
  });
  return {
    ratio: (along) => interpolateEven(table, along / step + half),
    sigma: 1 / Math.sqrt(sums(0).information),
  };
}
