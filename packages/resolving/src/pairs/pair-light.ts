import { NormalEquations } from '@twolamp/numeric';
import { OPEN_SHARE } from '../response/tuning.js';
import { Matrix, solve } from 'ml-matrix';
import type { ArrayResponse } from '../response/array-response.js';
import type { LampView } from '../response/lamp-view.js';
import { blurred, type RadialSpline, valueAt } from '../response/radial-spline.js';
import { cellSigma, modelShot, type ShotFit, type TubeTraits } from '../response/response-model.js';

/** Light of two equal lamps at a place on the line through them, 0 = middle. @param slope - angle between them */
export function unitLight(spline: RadialSpline, along: number, slope: number): number {
  return valueAt(spline, Math.abs(along - slope / 2)) + valueAt(spline, Math.abs(along + slope / 2));
}

/** A cell's modelled light in one pair shot, its derivatives and uncertainty. */
export interface PairCell {
  readonly cell: number;
  /** Modelled light of both lamps for amplitude 1. */
  readonly light: number;
  /** Derivatives by a common shift of the lamps (across, up), and by a relative change of their separation. */
  readonly byAcross: number;
  readonly byUp: number;
  readonly byStretch: number;
  /** Standard uncertainty about the model: noise, differences among tubes, and their pointing. */
  readonly sigma: number;
}

/**
 * The model of every usable cell of a pair shot.
 *
 * @param pointed - with the tubes' own pointing, or as if all looked along their nominal axes
 */
export function pairCells(
  view: LampView,
  response: ArrayResponse,
  fit: ShotFit,
  pointed: boolean,
): PairCell[] {
  const { scatter } = response.tubes;
  const tubes = pointed ? response.tubes : asOne(response.tubes);
  const spline = pointed ? fit.spline : blurred(fit.spline, scatter);
  const [one, other] = view.lamps.map((lamp) =>
    modelShot({ ...view, lamps: [lamp] }, tubes, { ...fit, spline }),
  );
  const [here, there] = view.lamps.map(({ slopes }) => slopes);
  const cells: PairCell[] = [];
  for (let k = 0; k < view.usable.length; k++) {
    if (!view.usable[k]) continue;
    const across = 2 * k;
    const up = 2 * k + 1;
    const light = one.light[k] + other.light[k];
    const byAcross = -one.gradient[across] - other.gradient[across];
    const byUp = -one.gradient[up] - other.gradient[up];
    const byStretch =
      0.5 * (one.gradient[across] - other.gradient[across]) * (here[across] - there[across]) +
      0.5 * (one.gradient[up] - other.gradient[up]) * (here[up] - there[up]);
    const pointingSigma = (pointed ? OPEN_SHARE : 1) * scatter * Math.hypot(byAcross, byUp);
    const sigma = Math.hypot(cellSigma(view, fit.amplitude, light, k), fit.amplitude * pointingSigma);
    cells.push({ cell: k, light, byAcross, byUp, byStretch, sigma });
  }
  return cells;
}

/** The same tubes with nominal pointing and equal gain. */
function asOne(tubes: TubeTraits): TubeTraits {
  return { ...tubes, pointing: new Float64Array(tubes.pointing.length), gain: tubes.gain.map(() => 1) };
}

/** Measured separation of the images relative to that by geometry. */
export interface Stretch {
  /** 1 = as stated. */
  readonly stretch: number;
  readonly sigma: number;
  readonly twoLampEvidence: number;
}

/** Fits the separation, with brightness, background and place free: one linear step from the learned fit. */
export function fitSeparation(view: LampView, response: ArrayResponse, fit: ShotFit): Stretch {
  const cells = pairCells(view, response, fit, true);
  const equations = new NormalEquations(5);
  for (const { cell, light, byAcross, byUp, byStretch, sigma } of cells) {
    const weight = 1 / sigma ** 2;
    const row = [light, fit.amplitude * byAcross, fit.amplitude * byUp, fit.amplitude * byStretch, 1];
    equations.add(row, weight, view.light[cell]);
  }
  const square = equations.matrix();
  const scale = Array.from({ length: 5 }, (_, r) => 1 / Math.sqrt(Math.max(square.get(r, r), 1e-300)));
  const scaled = new Matrix(
    scale.map((a, r) => scale.map((b, c) => square.get(r, c) * a * b + (r === c ? 1e-9 : 0))),
  );
  const inverse = solve(scaled, Matrix.eye(5, 5));
  let change = 0;
  for (let c = 0; c < 5; c++) change += inverse.get(3, c) * scale[c] * equations.side[c];
  const misfit = cells.reduce((sum, one) => sum + missOf(view, fit, one.light, one) ** 2, 0);
  // Uncertainties are scaled up by the misfit where that exceeds 1 per degree of freedom.
  const excess = Math.max(1, misfit / Math.max(cells.length - 5, 1));
  return {
    stretch: 1 + change * scale[3],
    sigma: Math.sqrt(Math.max(inverse.get(3, 3), 0) * excess) * scale[3],
    twoLampEvidence: (oneLampMisfit(view, response, fit, cells) - misfit) / excess - Math.log(cells.length),
  };
}

function missOf(view: LampView, fit: ShotFit, light: number, cell: PairCell): number {
  return (view.light[cell.cell] - fit.background - fit.amplitude * light) / cell.sigma;
}

/** Misfit of the best single lamp at the pair's middle: the same response, brightness free. */
function oneLampMisfit(
  view: LampView,
  response: ArrayResponse,
  fit: ShotFit,
  cells: readonly PairCell[],
): number {
  const [one, other] = view.lamps;
  const lights = cells.map(({ cell: k }) => {
    const x = (one.slopes[2 * k] + other.slopes[2 * k]) / 2 - fit.shift[0] - response.tubes.pointing[2 * k];
    const y =
      (one.slopes[2 * k + 1] + other.slopes[2 * k + 1]) / 2 -
      fit.shift[1] -
      response.tubes.pointing[2 * k + 1];
    return valueAt(fit.spline, Math.hypot(x, y));
  });
  let top = 0;
  let bottom = 0;
  cells.forEach(({ cell, sigma }, n) => {
    top += (lights[n] * (view.light[cell] - fit.background)) / sigma ** 2;
    bottom += lights[n] ** 2 / sigma ** 2;
  });
  const amplitude = bottom > 0 ? top / bottom : 0;
  return cells.reduce((sum, cell, n) => sum + missOf(view, { ...fit, amplitude }, lights[n], cell) ** 2, 0);
}
