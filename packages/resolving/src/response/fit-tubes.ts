import { fitPointingField, madScale, NormalEquations, type PointingField } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import type { LampView } from './lamp-view.js';
import { cellSigma, clamp, modelShot, type ResponseModel, type TubeTraits } from './response-model.js';
import { CAUCHY_MISFIT, GAIN_PRIOR, INFORMED_RATIO, LEAST_INFORMED, READING_SHARE } from './tuning.js';

/** Bounds for stability, far outside the priors. */
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
 * Pointing error and gain of each tube by one Gauss–Newton step, with the smooth field of all and their scatter about it as
 * prior; then the scatter of pointing itself, and each tube's robust weight (Cauchy: Huber & Ronchetti, Robust Statistics, 2009).
 *
 * @param views - aligned
 * @param halfWidth - of the response, slope
 */
export function fitTubes(views: readonly LampView[], model: ResponseModel, halfWidth: number): TubeTraits {
  const { tubes } = model;
  const priors = [1 / tubes.scatter ** 2, 1 / tubes.scatter ** 2, 1 / GAIN_PRIOR ** 2];
  const longest = LONGEST_STEP_HALF_WIDTHS * halfWidth;
  const pointing = Float64Array.from(tubes.pointing);
  const gain = Float64Array.from(tubes.gain);
  const weight = Float64Array.from(tubes.weight);
  const field = fieldOf(views[0], tubes.pointing);
  const [across, up] = [0, 1].map(() => new Float64Array(gain.length).fill(Number.NaN));
  const variances: number[] = [];
  tubeEquations(views, model).forEach(({ equations, misfit, readings }, k) => {
    const information = equations.lower[0] + equations.lower[UNKNOWNS + 1];
    if (information === 0) return;
    const now = [pointing[2 * k] - field.across[k], pointing[2 * k + 1] - field.up[k], gain[k] - 1];
    const misfitWithPrior = misfit + priors.reduce((sum, prior, n) => sum + prior * now[n] ** 2, 0);
    weight[k] = 1 / (1 + (misfitWithPrior / (CAUCHY_MISFIT * (readings + UNKNOWNS))) ** 2);
    priors.forEach((prior, n) => {
      equations.addPrior(n, prior, -now[n]);
    });
    const covariance = solve(equations.matrix(), Matrix.eye(UNKNOWNS, UNKNOWNS));
    const step = covariance.mmul(equations.column()).to1DArray();
    pointing[2 * k] += clamp(step[0], -longest, longest);
    pointing[2 * k + 1] += clamp(step[1], -longest, longest);
    gain[k] = clamp(gain[k] + step[2], ...GAIN_BOUNDS);
    if (information > INFORMED_RATIO * priors[0]) {
      across[k] = pointing[2 * k];
      up[k] = pointing[2 * k + 1];
      variances.push(covariance.get(0, 0), covariance.get(1, 1));
    }
  });
  if (variances.length < 2 * LEAST_INFORMED) return { pointing, gain, weight, scatter: tubes.scatter };
  const variance = variances.reduce((sum, value) => sum + value, 0) / variances.length;
  const [least, most] = SCATTER_BOUNDS_HALF_WIDTHS.map((bound) => bound * halfWidth);
  const spread = fieldAbout(views[0], across, up)?.scatter ?? madScale(known([...across, ...up]), 0);
  return { pointing, gain, weight, scatter: clamp(Math.hypot(spread, Math.sqrt(variance)), least, most) };
}

const known = (values: readonly number[]): number[] => values.filter(Number.isFinite);

function fieldAbout({ places }: LampView, across: Float64Array, up: Float64Array): PointingField | null {
  const [x, y] = [0, 1].map((axis) => across.map((_, k) => places[2 * k + axis]));
  return fitPointingField(across, up, { across: x, up: y });
}

/** The smooth field that all tubes' pointing follows; bends of the array are no scatter. 0 where the shots don't determine it. */
function fieldOf(view: LampView, pointing: Float64Array): Pick<PointingField, 'across' | 'up'> {
  const [across, up] = [0, 1].map((axis) =>
    Float64Array.from({ length: pointing.length / 2 }, (_, k) => pointing[2 * k + axis] || Number.NaN),
  );
  const none = new Float64Array(across.length);
  return fieldAbout(view, across, up) ?? { across: none, up: none };
}

function tubeEquations(views: readonly LampView[], { tubes, fits }: ResponseModel): TubeEquations[] {
  const found = Array.from(tubes.gain, () => ({
    equations: new NormalEquations(UNKNOWNS),
    misfit: 0,
    readings: 0,
  }));
  views.forEach((view, n) => {
    const fit = fits[n];
    const { light, gradient } = modelShot(view, tubes, fit);
    found.forEach((tube, k) => {
      if (!view.usable[k] || light[k] === 0) return;
      const weight = 1 / cellSigma(view, fit.amplitude, light[k], k) ** 2;
      const miss = view.light[k] - fit.background - fit.amplitude * light[k];
      tube.misfit += weight * miss ** 2;
      const seen = (view.light[k] - fit.background) / fit.amplitude;
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
