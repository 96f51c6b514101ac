import { median } from '@twolamp/numeric';
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
    let [count, place, slope, square, product] = [0, 0, 0, 0, 0];
    tubes.weight.forEach((weight, k) => {
      const [x, y] = [places[2 * k + axis], pointing[2 * k + axis]];
      // 0 = not determined by the shots.
      if (y === 0) return;
      count += weight;
      place += weight * x;
      slope += weight * y;
      square += weight * x * x;
      product += weight * x * y;
    });
    const spread = count * square - place * place;
    if (!(spread > 0)) continue;
    const trend = (count * product - place * slope) / spread;
    mean[axis] = (slope - trend * place) / count;
    fan[axis] += trend * near;
    for (let k = axis; k < pointing.length; k += 2) {
      if (pointing[k] !== 0) pointing[k] -= mean[axis] + trend * places[k];
    }
  }
  return {
    ...model,
    alignment: { ...alignment, fan },
    tubes: { ...tubes, pointing },
    fits: fits.map((fit) => ({ ...fit, shift: [fit.shift[0] + mean[0], fit.shift[1] + mean[1]] })),
  };
}
