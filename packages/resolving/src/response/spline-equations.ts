import { NormalEquations } from '@twolamp/numeric';
import type { LampView } from './lamp-view.js';
import { discMatrix, knotBefore } from './radial-spline.js';
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
  const ofOneLamp = sums.map(() => new NormalEquations(size));
  for (const [radius, shots] of byDiscRadius(views)) {
    for (const one of ofOneLamp) one.clear();
    addReadings(views, shots, model, (tube) => ofOneLamp[tube]);
    const matrix = discMatrix(model.spline.knots, radius);
    sums.forEach((sum, tube) => {
      sum.addTransformed(ofOneLamp[tube], matrix);
    });
  }
  return sums;
}

/** The spline's normal equations of all tubes together. */
export function allSplineEquations(views: readonly LampView[], model: ResponseModel): NormalEquations {
  const { knots } = model.spline;
  const total = new NormalEquations(knots.length);
  for (const [radius, shots] of byDiscRadius(views)) {
    const ofOneLamp = new NormalEquations(knots.length);
    addReadings(views, shots, model, () => ofOneLamp);
    total.addTransformed(ofOneLamp, discMatrix(knots, radius));
  }
  return total;
}

/** The shots' indices by the radius of their lamps. */
function byDiscRadius(views: readonly LampView[]): Map<number, number[]> {
  const groups = new Map<number, number[]>();
  views.forEach(({ discRadius }, shot) => {
    groups.set(discRadius, [...(groups.get(discRadius) ?? []), shot]);
  });
  return groups;
}

/** Adds the equations of the response to the lamps of some shots. */
function addReadings(
  views: readonly LampView[],
  shots: readonly number[],
  { spline, tubes, fits }: ResponseModel,
  equationsFor: (tube: number) => NormalEquations,
): void {
  const { knots } = spline;
  const places = new Int32Array(MOST_COEFFICIENTS);
  const values = new Float64Array(MOST_COEFFICIENTS);
  for (const shot of shots) {
    const view = views[shot];
    const fit = fits[shot];
    const { light, gradient } = modelShot(view, tubes, fit);
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
      const across = gradient[2 * k];
      const up = gradient[2 * k + 1];
      const sigma = cellSigma(view, fit.amplitude, light[k], k) / fit.amplitude;
      const pointingSigma = OPEN_SHARE * tubes.scatter;
      const variance = sigma * sigma + pointingSigma * pointingSigma * (across * across + up * up);
      const target = (view.light[k] - fit.background) / fit.amplitude;
      equationsFor(k).addFew(places, values, count, tubes.weight[k] / variance, target);
    }
  }
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
