import { median, NormalEquations, solveEquations } from '@twolamp/numeric';
import { nearFactor } from './align-views.js';
import type { LampView } from './lamp-view.js';
import type { ResponseModel } from './response-model.js';

/**
 * The same model with what all tubes' pointing has in common taken out of it: its mean counts as shift of the lamps, its
 * trend across the array as divergence. Where each is fitted while the other is held they would drift against each
 * other, and the scatter of pointing would grow with them.
 *
 * @param views - their places, and how near their lamps are
 */
export function withoutCommonPointing(model: ResponseModel, views: readonly LampView[]): ResponseModel {
  const { alignment, tubes, fits } = model;
  const { places } = views[0];
  const near = median(views.map((view) => nearFactor(view, alignment)));
  const pointing = tubes.pointing.slice();
  const fan: [number, number] = [...alignment.fan];
  const mean: [number, number] = [0, 0];
  for (const axis of [0, 1] as const) {
    const line = new NormalEquations(2);
    tubes.weight.forEach((weight, k) => {
      const own = pointing[2 * k + axis];
      // 0 = not determined by the shots.
      if (own !== 0) line.add([1, places[2 * k + axis]], weight, own);
    });
    const [offset, trend] = solveEquations(line);
    mean[axis] = offset;
    fan[axis] += trend * near;
    for (let k = axis; k < pointing.length; k += 2) {
      if (pointing[k] !== 0) pointing[k] -= mean[axis] + trend * places[k];
    }
  }
  return {
    alignment: { aim: alignment.aim, fan, widening: alignment.widening },
    spline: model.spline,
    tubes: { pointing, gain: tubes.gain, weight: tubes.weight, scatter: tubes.scatter },
    fits: fits.map(({ amplitude, background, shift, spline }) => ({
      amplitude,
      background,
      shift: [shift[0] + mean[0], shift[1] + mean[1]],
      spline,
    })),
  };
}
