import { Matrix, solve } from 'ml-matrix';
import type { ArrayResponse } from '../response/array-response.js';
import type { LampView } from '../response/lamp-view.js';
import { fallAt, type RadialSpline, valueAt } from '../response/radial-spline.js';
import { cellSigma, type ShotFit } from '../response/response-model.js';

/** Light of two equal lamps of slope apart along the line through them, 0 = middle. */
export function unitLight(spline: RadialSpline, along: number, slope: number): number {
  return valueAt(spline, Math.abs(along - slope / 2)) + valueAt(spline, Math.abs(along + slope / 2));
}

/** A cell's light as one pair shot should show it, with what it takes to weigh it. */
export interface PairCell {
  readonly cell: number;
  /** Modelled light of both lamps for amplitude 1. */
  readonly light: number;
  /** Its change as the lamps move together (across, up), and as they move apart by a share of their distance. */
  readonly byAcross: number;
  readonly byUp: number;
  readonly byStretch: number;
  /** Standard uncertainty about the model: noise, tubes' own ways and pointing. */
  readonly sigma: number;
}

/**
 * Every usable cell of a pair shot as modelled.
 *
 * @param pointed - with the tubes' own pointing, or as if all looked where they are due
 */
export function pairCells(
  view: LampView,
  response: ArrayResponse,
  fit: ShotFit,
  pointed: boolean,
): PairCell[] {
  const [one, other] = view.lamps;
  const { pointing, gain, scatter } = response.tubes;
  const spline = pointed ? response.spline : response.mean;
  const cells: PairCell[] = [];
  for (let k = 0; k < view.usable.length; k++) {
    if (!view.usable[k]) continue;
    let [light, byAcross, byUp, byStretch] = [0, 0, 0, 0];
    const apart = [
      one!.slopes[2 * k]! - other!.slopes[2 * k]!,
      one!.slopes[2 * k + 1]! - other!.slopes[2 * k + 1]!,
    ];
    view.lamps.forEach(({ slopes, falloff }, n) => {
      const x = slopes[2 * k]! - fit.shift[0] - (pointed ? pointing[2 * k]! : 0);
      const y = slopes[2 * k + 1]! - fit.shift[1] - (pointed ? pointing[2 * k + 1]! : 0);
      const radius = Math.hypot(x, y);
      const share = falloff[k]! * (pointed ? gain[k]! : 1);
      light += share * valueAt(spline, radius);
      const fall = (share * fallAt(spline, radius)) / Math.max(radius, 1e-12);
      const side = n === 0 ? 0.5 : -0.5;
      byAcross -= fall * x;
      byUp -= fall * y;
      byStretch += side * fall * (x * apart[0]! + y * apart[1]!);
    });
    const astray = (pointed ? 0.5 : 1) * scatter * Math.hypot(byAcross, byUp);
    const sigma = Math.hypot(cellSigma(view, fit.amplitude, light, k), fit.amplitude * astray);
    cells.push({ cell: k, light, byAcross, byUp, byStretch, sigma });
  }
  return cells;
}

/** How far apart the images really lie against where geometry puts them. */
export interface Stretch {
  /** 1 = as stated. */
  readonly stretch: number;
  readonly sigma: number;
  readonly twoAgainstOne: number;
}

/** The images' distance, with brightness, floor and place free: one linear step from the learned fit. */
export function pairAcross(view: LampView, response: ArrayResponse, fit: ShotFit): Stretch {
  const cells = pairCells(view, response, fit, true);
  const square = Matrix.zeros(5, 5);
  const side = Matrix.zeros(5, 1);
  for (const { cell, light, byAcross, byUp, byStretch, sigma } of cells) {
    const weight = 1 / sigma ** 2;
    const row = [light, fit.amplitude * byAcross, fit.amplitude * byUp, fit.amplitude * byStretch, 1];
    const target = view.light[cell]!;
    for (let r = 0; r < 5; r++) {
      side.set(r, 0, side.get(r, 0) + weight * row[r]! * target);
      for (let c = 0; c < 5; c++) square.set(r, c, square.get(r, c) + weight * row[r]! * row[c]!);
    }
  }
  const scale = Array.from({ length: 5 }, (_, r) => 1 / Math.sqrt(Math.max(square.get(r, r), 1e-300)));
  const scaled = new Matrix(
    scale.map((a, r) => scale.map((b, c) => square.get(r, c) * a * b + (r === c ? 1e-9 : 0))),
  );
  const inverse = solve(scaled, Matrix.eye(5, 5));
  let change = 0;
  for (let c = 0; c < 5; c++) change += inverse.get(3, c) * scale[c]! * side.get(c, 0);
  const misfit = cells.reduce((sum, one) => sum + missOf(view, fit, one.light, one) ** 2, 0);
  // Cells scatter more than stated where the misfit says so.
  const excess = Math.max(1, misfit / Math.max(cells.length - 5, 1));
  return {
    stretch: 1 + change * scale[3]!,
    sigma: Math.sqrt(Math.max(inverse.get(3, 3), 0) * excess) * scale[3]!,
    twoAgainstOne: (oneLampMisfit(view, response, fit, cells) - misfit) / excess - Math.log(cells.length),
  };
}

function missOf(view: LampView, fit: ShotFit, light: number, cell: PairCell): number {
  return (view.light[cell.cell]! - fit.floor - fit.amplitude * light) / cell.sigma;
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
    const x =
      (one!.slopes[2 * k]! + other!.slopes[2 * k]!) / 2 - fit.shift[0] - response.tubes.pointing[2 * k]!;
    const y =
      (one!.slopes[2 * k + 1]! + other!.slopes[2 * k + 1]!) / 2 -
      fit.shift[1] -
      response.tubes.pointing[2 * k + 1]!;
    return valueAt(response.spline, Math.hypot(x, y));
  });
  let [top, bottom] = [0, 0];
  cells.forEach(({ cell, sigma }, n) => {
    top += (lights[n]! * (view.light[cell]! - fit.floor)) / sigma ** 2;
    bottom += lights[n]! ** 2 / sigma ** 2;
  });
  const amplitude = bottom > 0 ? top / bottom : 0;
  return cells.reduce((sum, cell, n) => sum + missOf(view, { ...fit, amplitude }, lights[n]!, cell) ** 2, 0);
}
