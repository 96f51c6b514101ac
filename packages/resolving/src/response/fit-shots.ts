import { NormalEquations } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import { type Alignment, nearFactor } from './align-views.js';
import type { LampView } from './lamp-view.js';
import { valueAt } from './radial-spline.js';
import { cellSigma, clamp, modelShot, type ResponseModel, type ShotFit } from './response-model.js';
import { BACKGROUND_PRIOR, FAN_PRIOR, SHIFT_PRIOR, WIDENING_PRIOR } from './tuning.js';

/**
 * Longest steps in one round, for stability: of a shift and of the divergence in half widths, of the widening, of the
 * logarithm of the response's width.
 */
const LONGEST = { shift: 0.2, fan: 0.05, widening: 0.1, width: 0.1 };

/** Weak prior: standard deviation of the amplitude, in amplitudes. It decides only where no cell does. */
const LOOSE = 1000;

/** Unknowns of one shot: amplitude, shift across and up, background; then the common ones: fan across and up, widening, width. */
const OWN = 4;
const COMMON = 4;

/** Damping of the width's step: standard deviation of its logarithm. It decides only where no cell does. */
const WIDTH_STEP = 0.3;

/** What the shots' unknowns are held against. */
export interface FitScales {
  /** Of the response, slope. */
  readonly halfWidth: number;
  /** Slope between the directions in which two neighbours see a lamp, as stated. */
  readonly pitchSlope: number;
  /** Of near lamps, as theory expects it. */
  readonly widening: number;
}

/**
 * Amplitude, background and shift of all shots, and the alignment they share, by one Gauss–Newton step. Each shot's own
 * unknowns are eliminated first (Schur complement). The width of the response goes along: a wider response on an array
 * that fans out more looks nearly the same, and one after the other they would take hundreds of rounds.
 *
 * @param views - aligned by the model's alignment
 * @param moves - whether lamps may move, or only their light is fitted
 */
export function fitShots(
  views: readonly LampView[],
  model: ResponseModel,
  { halfWidth, pitchSlope, widening }: FitScales,
  moves: boolean,
): ResponseModel {
  const { alignment, fits, spline, tubes } = model;
  const fanHold = 1 / (FAN_PRIOR * pitchSlope) ** 2;
  const wideningHold = 1 / WIDENING_PRIOR ** 2;
  const square = Matrix.diag([fanHold, fanHold, wideningHold, 1 / WIDTH_STEP ** 2]);
  const side = Matrix.columnVector([
    -alignment.fan[0] * fanHold,
    -alignment.fan[1] * fanHold,
    (widening - alignment.widening) * wideningHold,
    0,
  ]);
  const shots = views.map((view, n) => {
    const equations = shotEquations(view, model, fits[n], halfWidth);
    const all = equations.matrix();
    const allSide = equations.column();
    const own = all.subMatrix(0, OWN - 1, 0, OWN - 1);
    const cross = all.subMatrix(0, OWN - 1, OWN, OWN + COMMON - 1);
    const alone = solve(own, allSide.subMatrix(0, OWN - 1, 0, 0));
    const carried = solve(own, cross);
    square.add(all.subMatrix(OWN, OWN + COMMON - 1, OWN, OWN + COMMON - 1));
    square.sub(cross.transpose().mmul(carried));
    side.add(allSide.subMatrix(OWN, OWN + COMMON - 1, 0, 0));
    side.sub(cross.transpose().mmul(alone));
    return { alone, carried };
  });
  const common = moves ? solve(square, side) : Matrix.zeros(COMMON, 1);
  const wider = Math.exp(within(common.get(3, 0), LONGEST.width));
  return {
    alignment: moves ? stepped(alignment, common.to1DArray(), halfWidth) : alignment,
    // On the same knots, which must go on reaching as far as there is light.
    spline: { knots: spline.knots, values: spline.knots.map((knot) => valueAt(spline, knot / wider)) },
    tubes: {
      pointing: tubes.pointing.map((slope) => wider * slope),
      gain: tubes.gain,
      weight: tubes.weight,
      scatter: wider * tubes.scatter,
    },
    fits: shots.map(({ alone, carried }, n) => {
      const fit = fits[n];
      const found = Matrix.sub(alone, carried.mmul(common)).to1DArray();
      if (!found.every(Number.isFinite) || !(found[0] > 0)) return fit;
      const step = (value: number) => (moves ? within(value, LONGEST.shift * halfWidth) : 0);
      return {
        amplitude: found[0],
        background: found[3],
        shift: [fit.shift[0] + step(found[1]), fit.shift[1] + step(found[2])],
        spline: fit.spline,
      };
    }),
  };
}

const within = (step: number, longest: number): number => clamp(step, -longest, longest);

function stepped({ aim, fan, widening }: Alignment, step: readonly number[], halfWidth: number): Alignment {
  return {
    aim,
    fan: [
      fan[0] + within(step[0], LONGEST.fan * halfWidth),
      fan[1] + within(step[1], LONGEST.fan * halfWidth),
    ],
    widening: widening + within(step[2], LONGEST.widening),
  };
}

/** Normal equations of one shot: its light is linear in amplitude and background, and linearised in the others. */
function shotEquations(
  view: LampView,
  model: ResponseModel,
  fit: ShotFit,
  halfWidth: number,
): NormalEquations {
  const equations = new NormalEquations(OWN + COMMON);
  addCells(view, model, fit, equations);
  const hold = 1 / (SHIFT_PRIOR * halfWidth) ** 2;
  equations.addPrior(1, hold, -fit.shift[0]);
  equations.addPrior(2, hold, -fit.shift[1]);
  // Without the priors a shot whose lamps no tube sees, or without a usable cell, would have no solution.
  const loose = 1 / (LOOSE * (fit.amplitude || 1)) ** 2;
  equations.addPrior(0, loose, fit.amplitude);
  equations.addPrior(3, 1 / (BACKGROUND_PRIOR * (fit.amplitude || 1)) ** 2);
  return equations;
}

/** Adds what each cell's light says. */
function addCells(view: LampView, model: ResponseModel, fit: ShotFit, equations: NormalEquations): void {
  const { light, gradient, byWidth } = modelShot(view, model.tubes, fit);
  const near = nearFactor(view, model.alignment);
  const { pointing } = model.tubes;
  const row = new Float64Array(OWN + COMMON);
  for (let k = 0; k < light.length; k++) {
    if (!view.usable[k]) continue;
    const across = -fit.amplitude * gradient[2 * k];
    const up = -fit.amplitude * gradient[2 * k + 1];
    const byPointing = model.tubes.scatter ** 2 * (across * across + up * up);
    const weight = model.tubes.weight[k] / (cellSigma(view, fit.amplitude, light[k], k) ** 2 + byPointing);
    row[0] = light[k];
    row[1] = across;
    row[2] = up;
    row[3] = 1;
    row[4] = (across * view.places[2 * k]) / near;
    row[5] = (up * view.places[2 * k + 1]) / near;
    row[6] = (fit.amplitude * byWidth[k] * view.nearness) / near;
    // All directions grow with the width, those of single tubes as well.
    const px = pointing[2 * k];
    const py = pointing[2 * k + 1];
    row[7] = fit.amplitude * (byWidth[k] - gradient[2 * k] * px - gradient[2 * k + 1] * py);
    equations.add(row, weight, view.light[k]);
  }
}
