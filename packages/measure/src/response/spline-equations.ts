import { NormalEquations } from '@twolamp/numeric';
import type { LampView } from './lamp-view.js';
import { knotBefore } from './radial-spline.js';
import { OPEN_SHARE } from './tuning.js';
import { cellSigma, modelShot, type ResponseModel } from './response-model.js';

/**
 * The spline's normal equations, one a tube.
 *
 * @param views - aligned
 */
export function splineEquations(
  views: readonly LampView[],
  { spline, tubes, fits }: ResponseModel,
): NormalEquations[] {
  const { knots } = spline;
  const n = knots.length;
  const sums = Array.from(tubes.gain, () => new NormalEquations(n));
  const row = new Float64Array(n);
  views.forEach((view, shot) => {
    const fit = fits[shot];
    const { light, gradient } = modelShot(view, spline, tubes, fit);
    sums.forEach((equations, k) => {
      if (!view.usable[k]) return;
      row.fill(0);
      let isLit = false;
      for (const { slopes, falloff } of view.lamps) {
        const x = slopes[2 * k] - fit.shift[0] - tubes.pointing[2 * k];
        const y = slopes[2 * k + 1] - fit.shift[1] - tubes.pointing[2 * k + 1];
        const radius = Math.hypot(x, y);
        const before = knotBefore(knots, radius);
        if (before < 0) continue;
        const share = (radius - knots[before]) / (knots[before + 1] - knots[before]);
        row[before] += tubes.gain[k] * falloff[k] * (1 - share);
        row[before + 1] += tubes.gain[k] * falloff[k] * share;
        isLit = true;
      }
      if (!isLit) return;
      const pointingSigma = OPEN_SHARE * tubes.scatter * Math.hypot(gradient[2 * k], gradient[2 * k + 1]);
      const sigma = Math.hypot(cellSigma(view, fit.amplitude, light[k], k) / fit.amplitude, pointingSigma);
      const weight = tubes.weight[k] / sigma ** 2;
      const target = (view.light[k] - fit.background) / fit.amplitude;
      equations.add(row, weight, target);
    });
  });
  return sums;
}

/** Sum over tubes, tube k counted `times(k)` times. */
export function weightedSum(
  tubes: readonly NormalEquations[],
  times: (tube: number) => number,
): NormalEquations {
  const total = new NormalEquations(tubes[0].size);
  tubes.forEach((one, k) => {
    const weight = times(k);
    if (weight !== 0) total.addAll(one, weight);
  });
  return total;
}
