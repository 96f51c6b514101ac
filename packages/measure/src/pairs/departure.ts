import { middleOf } from './lamp-places.js';
import type { RadialResponse } from './radial-response.js';
import type { ShotView } from './shot-view.js';
import type { SourceFit } from './source-fit.js';

/** By how much the light along the lamps' line departs from the fitted model. */
export interface Departure {
  /** Measured ÷ model, smoothed; place along the line in pitches, 0 = middle between the images. */
  readonly ratio: (along: number) => number;
  /** Standard uncertainty of the ratio between the lamps. */
  readonly sigma: number;
}

/** Width of the smoothing against the half width of the response. */
const KERNEL_HALF_WIDTHS = 0.6;
const STEPS_PER_KERNEL = 8;
/** How far real arrays depart from the model at that scale (common practice, no source): less certain ratios shrink to 1. */
const TYPICAL_DEPARTURE = 0.03;

/**
 * The ratio of measured to modelled light near the lamps' line, smoothed over cells by a Gaussian, and drawn towards
 * 1 as far as the cells' uncertainty leaves it open. So bent tubes and leaks show in the dip, noise doesn't.
 */
export function departureAlong(
  view: ShotView,
  fit: SourceFit,
  response: RadialResponse,
  slopePerPitch: number,
): Departure {
  const [first, second] = fit.sources;
  const middle = middleOf(fit.sources);
  const turn = Math.atan2(second!.up - first!.up, second!.across - first!.across);
  const kernel = Math.max(
    0.5,
    (KERNEL_HALF_WIDTHS * response.halfWidthSlope * first!.widthFactor) / slopePerPitch,
  );
  const cells = Array.from(view.cells, (_, i) => {
    const across = view.across[i]! - middle.across;
    const up = view.up[i]! - middle.up;
    const light = fit.model[i]! - fit.floor;
    const variance = fit.weights.sigma[i]! ** 2;
    return {
      along: across * Math.cos(turn) + up * Math.sin(turn),
      nearness: Math.exp(-0.5 * ((up * Math.cos(turn) - across * Math.sin(turn)) / kernel) ** 2),
      information: light ** 2 / variance,
      pull: (light * (view.light[i]! - fit.model[i]!)) / variance,
    };
  }).filter(({ nearness }) => nearness > 1e-3);
  const sums = (along: number) => {
    let pull = 0;
    let information = 1 / TYPICAL_DEPARTURE ** 2;
    for (const cell of cells) {
      const weight = cell.nearness * Math.exp(-0.5 * ((along - cell.along) / kernel) ** 2);
      pull += weight * cell.pull;
      information += weight * cell.information;
    }
    return { pull, information };
  };
  // Worked out once on a grid finer than the smoothing: the dip asks for it many times.
  const step = kernel / STEPS_PER_KERNEL;
  const farthest = cells.reduce((most, cell) => Math.max(most, Math.abs(cell.along)), kernel);
  const middleStep = Math.ceil(farthest / step);
  const table = Float64Array.from({ length: 2 * middleStep + 1 }, (_, index) => {
    const { pull, information } = sums((index - middleStep) * step);
    return 1 + pull / information;
  });
  return {
    ratio: (along) => {
      const place = Math.min(2 * middleStep, Math.max(0, along / step + middleStep));
      const before = Math.min(2 * middleStep - 1, Math.floor(place));
      return table[before]! + (place - before) * (table[before + 1]! - table[before]!);
    },
    sigma: 1 / Math.sqrt(sums(0).information),
  };
}
