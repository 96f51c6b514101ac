import { emptySums, type SplineSums } from './fit-spline.js';
import type { LampView } from './lamp-view.js';
import { knotBefore } from './radial-spline.js';
import { cellSigma, modelShot, OPEN_SHARE, type ResponseModel } from './response-model.js';

/**
 * The spline's normal equations, one a tube.
 *
 * @param views - aligned
 */
export function splineSums(views: readonly LampView[], { spline, tubes, fits }: ResponseModel): SplineSums[] {
  const { knots } = spline;
  const n = knots.length;
  const sums = Array.from(tubes.gain, () => emptySums(n));
  const row = new Float64Array(n);
  views.forEach((view, shot) => {
    const fit = fits[shot];
    const { light, gradient } = modelShot(view, spline, tubes, fit);
    sums.forEach(({ square, side }, k) => {
      if (!view.usable[k]) return;
      row.fill(0);
      const touched = new Set<number>();
      for (const { slopes, falloff } of view.lamps) {
        const x = slopes[2 * k] - fit.shift[0] - tubes.pointing[2 * k];
        const y = slopes[2 * k + 1] - fit.shift[1] - tubes.pointing[2 * k + 1];
        const radius = Math.hypot(x, y);
        const before = knotBefore(knots, radius);
        if (before < 0) continue;
        const share = (radius - knots[before]) / (knots[before + 1] - knots[before]);
        row[before] += tubes.gain[k] * falloff[k] * (1 - share);
        row[before + 1] += tubes.gain[k] * falloff[k] * share;
        touched.add(before).add(before + 1);
      }
      if (touched.size === 0) return;
      const astray = OPEN_SHARE * tubes.scatter * Math.hypot(gradient[2 * k], gradient[2 * k + 1]);
      const sigma = Math.hypot(cellSigma(view, fit.amplitude, light[k], k) / fit.amplitude, astray);
      const weight = tubes.trust[k] / sigma ** 2;
      const target = (view.light[k] - fit.floor) / fit.amplitude;
      for (const r of touched) {
        side[r] += weight * row[r] * target;
        for (const c of touched) square[r * n + c] += weight * row[r] * row[c];
      }
    });
  });
  return sums;
}

/** Sum over tubes, each counted `times(k)` times. */
export function addUp(tubes: readonly SplineSums[], times: (tube: number) => number): SplineSums {
  const total = emptySums(tubes[0].side.length);
  tubes.forEach(({ square, side }, k) => {
    const weight = times(k);
    if (weight === 0) return;
    for (let n = 0; n < side.length; n++) total.side[n] += weight * side[n];
    for (let n = 0; n < square.length; n++) total.square[n] += weight * square[n];
  });
  return total;
}
