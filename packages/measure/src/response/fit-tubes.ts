import { madScale, NormalEquations } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import type { LampView } from './lamp-view.js';
import { cellSigma, limited, modelShot, type ResponseModel, type TubeTraits } from './response-model.js';
import { CAUCHY_MISFIT, GAIN_PRIOR, INFORMED_RATIO, LEAST_INFORMED, READING_SHARE } from './tuning.js';

/** Tubes' light of lamps against that of the even shot: unlike width passes unlike shares of each. Common practice, no source. */
const GAIN_BOUNDS = [0.7, 1.3] as const;
const SCATTER_BOUNDS_HALF_WIDTHS = [0.01, 0.5] as const;
const LONGEST_STEP_HALF_WIDTHS = 0.3;
/** Unknowns of a tube: pointing across and up, gain. */
const UNKNOWNS = 3;

interface TubeEquations {
  readonly equations: NormalEquations;
  misfit: number;
  readings: number;
}

/**
 * Pointing error and gain of each tube by one Gauss–Newton step, held to their scatter over the array; then the scatter
 * of pointing itself, and how far each tube is to be trusted (Cauchy weights: Huber & Ronchetti, Robust Statistics, 2009).
 *
 * @param views - aligned
 * @param halfWidth - of the response, slope
 */
export function fitTubes(views: readonly LampView[], model: ResponseModel, halfWidth: number): TubeTraits {
  const { tubes } = model;
  const holds = [1 / tubes.scatter ** 2, 1 / tubes.scatter ** 2, 1 / GAIN_PRIOR ** 2];
  const longest = LONGEST_STEP_HALF_WIDTHS * halfWidth;
  const pointing = Float64Array.from(tubes.pointing);
  const gain = Float64Array.from(tubes.gain);
  const trust = Float64Array.from(tubes.trust);
  const found: number[] = [];
  const variances: number[] = [];
  tubeEquations(views, model).forEach(({ equations, misfit, readings }, k) => {
    const told = equations.lower[0] + equations.lower[UNKNOWNS + 1];
    if (told === 0) return;
    const now = [pointing[2 * k], pointing[2 * k + 1], gain[k] - 1];
    const lack = misfit + holds.reduce((sum, hold, n) => sum + hold * now[n] ** 2, 0);
    trust[k] = 1 / (1 + (lack / (CAUCHY_MISFIT * (readings + UNKNOWNS))) ** 2);
    holds.forEach((hold, n) => {
      equations.addPrior(n, hold, -now[n]);
    });
    const covariance = solve(equations.matrix(), Matrix.eye(UNKNOWNS, UNKNOWNS));
    const step = covariance.mmul(equations.column()).to1DArray();
    pointing[2 * k] += limited(step[0], -longest, longest);
    pointing[2 * k + 1] += limited(step[1], -longest, longest);
    gain[k] = limited(gain[k] + step[2], ...GAIN_BOUNDS);
    if (told > INFORMED_RATIO * holds[0]) {
      found.push(pointing[2 * k], pointing[2 * k + 1]);
      variances.push(covariance.get(0, 0), covariance.get(1, 1));
    }
  });
  if (found.length < 2 * LEAST_INFORMED) return { pointing, gain, trust, scatter: tubes.scatter };
  const variance = variances.reduce((sum, value) => sum + value, 0) / variances.length;
  const [least, most] = SCATTER_BOUNDS_HALF_WIDTHS.map((bound) => bound * halfWidth);
  const scatter = limited(Math.hypot(madScale(found, 0), Math.sqrt(variance)), least, most);
  return { pointing, gain, trust, scatter };
}

function tubeEquations(views: readonly LampView[], { spline, tubes, fits }: ResponseModel): TubeEquations[] {
  const found = Array.from(tubes.gain, () => ({
    equations: new NormalEquations(UNKNOWNS),
    misfit: 0,
    readings: 0,
  }));
  views.forEach((view, n) => {
    const fit = fits[n];
    const { light, gradient } = modelShot(view, spline, tubes, fit);
    found.forEach((tube, k) => {
      if (!view.usable[k] || light[k] === 0) return;
      const weight = 1 / cellSigma(view, fit.amplitude, light[k], k) ** 2;
      const miss = view.light[k] - fit.floor - fit.amplitude * light[k];
      tube.misfit += weight * miss ** 2;
      const seen = (view.light[k] - fit.floor) / fit.amplitude;
      if (Math.max(light[k], seen) > READING_SHARE) tube.readings++;
      const row = [
        -fit.amplitude * gradient[2 * k],
        -fit.amplitude * gradient[2 * k + 1],
        (fit.amplitude * light[k]) / tubes.gain[k],
      ];
      tube.equations.add(row, weight, miss);
    });
  });
  return found;
}
