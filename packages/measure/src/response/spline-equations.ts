import { NormalEquations } from '@twolamp/numeric';
import type { LampView } from './lamp-view.js';
import { knotBefore } from './radial-spline.js';
import { OPEN_SHARE } from './tuning.js';
import { cellSigma, modelShot, type ResponseModel } from './response-model.js';

/** A lamp's light on a tube lies between two knots; two lamps make four coefficients a reading. */
const MOST_COEFFICIENTS = 4;

/**
 * The spline's normal equations, one a tube.
 *
 * @param views - aligned
 */
export function splineEquations(views: readonly LampView[], model: ResponseModel): NormalEquations[] {
  const size = model.spline.knots.length;
  const sums = Array.from(model.tubes.gain, () => new NormalEquations(size));
  addReadings(views, model, (tube) => sums[tube]);
  return sums;
}

/** The spline's normal equations of all tubes together. */
export function allSplineEquations(views: readonly LampView[], model: ResponseModel): NormalEquations {
  const total = new NormalEquations(model.spline.knots.length);
  addReadings(views, model, () => total);
  return total;
}

function addReadings(
  views: readonly LampView[],
  { spline, tubes, fits }: ResponseModel,
  equationsFor: (tube: number) => NormalEquations,
): void {
  const { knots } = spline;
  const places = new Int32Array(MOST_COEFFICIENTS);
  const values = new Float64Array(MOST_COEFFICIENTS);
  views.forEach((view, shot) => {
    const fit = fits[shot];
    const { light, gradient } = modelShot(view, spline, tubes, fit);
    for (let k = 0; k < light.length; k++) {
      if (!view.usable[k]) continue;
      let count = 0;
      for (const { slopes, falloff } of view.lamps) {
        const x = slopes[2 * k] - fit.shift[0] - tubes.pointing[2 * k];
        const y = slopes[2 * k + 1] - fit.shift[1] - tubes.pointing[2 * k + 1];
        const radius = Math.sqrt(x * x + y * y);
        const before = knotBefore(knots, radius);
        if (before < 0) continue;
        const share = (radius - knots[before]) / (knots[before + 1] - knots[before]);
        places[count] = before;
        values[count++] = tubes.gain[k] * falloff[k] * (1 - share);
        places[count] = before + 1;
        values[count++] = tubes.gain[k] * falloff[k] * share;
      }
      if (count === 0) continue;
      const [across, up] = [gradient[2 * k], gradient[2 * k + 1]];
      const sigma = cellSigma(view, fit.amplitude, light[k], k) / fit.amplitude;
      const pointingSigma = OPEN_SHARE * tubes.scatter;
      const variance = sigma * sigma + pointingSigma * pointingSigma * (across * across + up * up);
      const target = (view.light[k] - fit.background) / fit.amplitude;
      equationsFor(k).addFew(places, values, count, tubes.weight[k] / variance, target);
    }
  });
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
